// "I do not know" as people type it.

const UNKNOWN = /^(\?|-|no idea|unknown|(i )?(do not|don['’]?t|dont) know\.?|dunno|weiss nicht)$/i;

export const saysUnknown = (answer: string): boolean => UNKNOWN.test(answer.trim());

// What the bench asks while outputs are off: a line of text, or one of a list.

interface Asked {
  title: string;
  /** Said under the title. */
  lines: readonly string[];
  /** What was wrong with the last answer. */
  trouble?: string;
}

export interface TextQuestion extends Asked {
  kind: 'text';
  label: string;
  typed: string;
  /** What Enter alone takes. */
  proposal?: string;
  longest: number;
}

export interface ChoiceQuestion extends Asked {
  kind: 'choice';
  options: readonly string[];
  chosen: number;
  /** What was asked before it may be answered anew. */
  canGoBack?: boolean;
}

export type Question = TextQuestion | ChoiceQuestion;

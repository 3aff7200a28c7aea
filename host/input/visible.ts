// Characters that steer instead of being read: control characters of both sets, delete, line and paragraph separators,
// marks that turn the direction of writing or take no room. The one place that knows them; a terminal, a page or a
// record must not be steered by what stands in a file. Bidirectional marks: Unicode Standard Annex 9, table 4.

/** C0 and C1 with delete; soft hyphen; Arabic letter mark; zero widths and direction marks; separators; fillers; tags. */
const STEERING =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to make visible.
  /[\u0000-\u001f\u007f-\u009f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

const shown = (character: string): string => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`;

/** The first character of `text` that steers, as it is shown; undefined where all are plain. */
export function steeringIn(text: string): string | undefined {
  const [found] = text.match(STEERING) ?? [];
  return found === undefined ? undefined : shown(found);
}

/** `text` without what steers, for a name that was typed or scanned. */
export const withoutSteering = (text: string): string => text.replace(STEERING, '');

/**
 * Text of several lines for a terminal or a page: line ends and tabs stay, whatever else steers is shown as `\u001b`.
 * Inside the strings of JSON that is the same string to a program.
 */
export const visible = (text: string): string =>
  text.replace(STEERING, (character, at: number) =>
    character === '\n' || character === '\t' || (character === '\r' && text[at + 1] === '\n')
      ? character
      : shown(character),
  );

/** Text for one line: a line end becomes a blank, whatever else steers is shown. */
export const oneLine = (text: string): string =>
  text.replace(STEERING, (character) => (character === '\n' ? ' ' : shown(character)));

// The shells' side of completion: each asks `throwbench completion offer SHELL -- WORDS…` what fits at the end of the line
// and shows it. bash: Bash Reference Manual, Programmable Completion; zsh: zshcompsys(1); fish: complete(1).

import type { Completion } from './complete.js';

export const SHELLS = ['bash', 'zsh', 'fish'] as const;
export type Shell = (typeof SHELLS)[number];

/** First line: words, file or folder. Then a word a line, with a tab before what it is. */
export function answerText({ words, files }: Completion, shell: Shell): string {
  const lines = words.map(({ word, told }) =>
    told === undefined || shell === 'bash' ? word : `${word}\t${told.replace(/\s+/g, ' ')}`,
  );
  return `${[files ?? 'words', ...lines].join('\n')}\n`;
}

/** bash takes a line apart at `=` too; here a call has its words again as they were typed. */
export function wordsOf(shell: Shell, typed: readonly string[]): string[] {
  if (shell !== 'bash') return [...typed];
  const words: string[] = [];
  for (const [index, word] of typed.entries()) {
    const before = words.at(-1);
    const isJoined =
      before !== undefined && (word === '=' || typed[index - 1] === '=') && before.startsWith('--');
    if (isJoined) words[words.length - 1] = `${before}${word}`;
    else words.push(word);
  }
  return words;
}

/** bash puts in only what stands behind its own last word, so the option's name is left out again. */
export const asTaken = (shell: Shell, completion: Completion): Completion =>
  shell === 'bash'
    ? {
        ...completion,
        words: completion.words.map((one) => ({ ...one, word: one.word.replace(/^--[^=]+=(?=.)/, '') })),
      }
    : completion;

export const SCRIPTS: Readonly<Record<Shell, string>> = {
  bash: `# bash completion of throwbench
_throwbench() {
  local line kind= word current=\${COMP_WORDS[COMP_CWORD]}
  [[ $current == = ]] && current=
  COMPREPLY=()
  while IFS= read -r line; do
    if [[ -z $kind ]]; then
      kind=$line
    else
      printf -v word %q "$line"
      COMPREPLY+=("$word")
    fi
  done < <("\${COMP_WORDS[0]}" completion offer bash -- "\${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
  if [[ $kind == file || $kind == folder ]]; then
    local way=-f
    [[ $kind == folder ]] && way=-d
    compopt -o filenames 2>/dev/null
    while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen "$way" -- "$current")
  fi
  # What ends in = waits for more.
  [[ \${#COMPREPLY[@]} == 1 && \${COMPREPLY[0]} == *= ]] && compopt -o nospace 2>/dev/null
  return 0
}
complete -F _throwbench throwbench
`,
  zsh: `#compdef throwbench
# zsh completion of throwbench
_throwbench() {
  local line kind word
  local -a answer offers
  answer=("\${(@f)$("\${(Q)words[1]}" completion offer zsh -- "\${(@Q)words[2,CURRENT]}" 2>/dev/null)}")
  kind=$answer[1]
  for line in "\${(@)answer[2,-1]}"; do
    word=\${line%%$'\\t'*}
    if [[ $line == *$'\\t'* ]]; then
      offers+=("\${word//:/\\\\:}:\${line#*$'\\t'}")
    else
      offers+=("\${word//:/\\\\:}")
    fi
  done
  case $kind in
    file) _files ;;
    folder) _files -/ ;;
    *) _describe -V throwbench offers ;;
  esac
}
if [[ $funcstack[1] == _throwbench ]]; then
  _throwbench "$@"
else
  compdef _throwbench throwbench
fi
`,
  fish: `# fish completion of throwbench
function __throwbench_offer
    set -l before (commandline -opc)
    set -l current (commandline -ct)
    set -q current[1]; or set current ''
    set -l answer (command $before[1] completion offer fish -- $before[2..-1] $current 2>/dev/null)
    switch "$answer[1]"
        case file
            __fish_complete_path $current
        case folder
            __fish_complete_directories $current
        case '*'
            set -q answer[2]; and printf '%s\\n' $answer[2..-1]
    end
end
complete -c throwbench -f -k -a '(__throwbench_offer)'
`,
};

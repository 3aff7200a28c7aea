// `npm run bench`: every speed figure as a ratio against a baseline measured in the same run. Prints; fails nothing.

const PARTS = ['solver', 'board'] as const;
const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !(PARTS as readonly string[]).includes(name));
if (unknown.length > 0) {
  console.error(`bench: no part named ${unknown.join(', ')}; there are ${PARTS.join(', ')}`);
  process.exit(2);
}

for (const part of PARTS) {
  if (wanted.length > 0 && !wanted.includes(part)) continue;
  const file = new URL(`./${part}.ts`, import.meta.url);
  const module = (await import(file.href)) as { default: (print: (line: string) => void) => Promise<void> };
  console.log(`\n${part}`);
  await module.default((line) => console.log(`  ${line}`));
}

// JSON that keeps infinite numbers (degrees of freedom that are taken as exact), which plain JSON turns into null.

const KEY = '$number';

export function exactJson(value: unknown): string {
  return JSON.stringify(value, (_key, inner: unknown) =>
    typeof inner === 'number' && !Number.isFinite(inner) ? { [KEY]: String(inner) } : inner,
  );
}

export function readExactJson(text: string): unknown {
  return JSON.parse(text, (_key, inner: unknown) =>
    typeof inner === 'object' && inner !== null && KEY in inner ? Number(inner[KEY]) : inner,
  );
}

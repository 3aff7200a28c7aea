// Fields that may be absent: under exact optional types an absent field is left out, never undefined.

type Known<T> = { [K in keyof T as undefined extends T[K] ? never : K]: T[K] } & {
  [K in keyof T as undefined extends T[K] ? K : never]?: Exclude<T[K], undefined>;
};

/** The fields that have a value, in their order. */
export const known = <T extends object>(fields: T): Known<T> =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as Known<T>;

/** An expected outcome as a value: what came of it, or which rule refused it and in what words. */
export type Outcome<Value, Code extends string> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly error: Code; readonly sentence: string }

/** Expected failures are values; only bugs throw. */
export interface Failure {
  readonly code: string;
  /** One or two sentences for a person: what happened, what was kept, what to do. */
  readonly message: string;
  readonly details?: unknown;
}
export type Result<Value> = { readonly ok: true; readonly value: Value } | { readonly ok: false; readonly error: Failure };

export function success<Value>(value: Value): Result<Value> {
  return { ok: true, value };
}
export function failure(code: string, message: string, details?: unknown): { readonly ok: false; readonly error: Failure } {
  return { ok: false, error: details === undefined ? { code, message } : { code, message, details } };
}

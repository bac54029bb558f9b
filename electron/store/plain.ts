/** The door of the store: only what JSON keeps exactly may pass. */

/**
 * Finds the first thing in a value that would not survive being written down: NaN and infinities (JSON and SQLite both
 * turn them into null), functions, big integers, class instances.
 * @returns where it is and what, in words; undefined when all is plain.
 */
export function notPlain(value: unknown, where = 'data', depth = 0): string | undefined {
  if (value === null || value === undefined || typeof value === 'string' || typeof value === 'boolean') return undefined;
  if (typeof value === 'number') return Number.isFinite(value) ? undefined : `${where} is ${value}, not a number`;
  if (depth > 20) return `${where} is nested too deeply`;
  if (Array.isArray(value)) {
    for (const [index, item] of value.entries()) {
      const found = item === undefined ? `${where}[${index}] is missing` : notPlain(item, `${where}[${index}]`, depth + 1);
      if (found !== undefined) return found;
    }
    return undefined;
  }
  if (typeof value === 'object') {
    const prototype: unknown = Object.getPrototypeOf(value);
    if (prototype !== Object.prototype && prototype !== null) return `${where} is not plain data`;
    for (const [key, item] of Object.entries(value)) {
      const found = notPlain(item, `${where}.${key}`, depth + 1);
      if (found !== undefined) return found;
    }
    return undefined;
  }
  return `${where} is a ${typeof value}, not plain data`;
}

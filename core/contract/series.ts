/** Gas exchange files beside the records, and the mappings that a station remembers for their headings. */
import { z } from 'zod';
import { LARGEST_SERIES } from '../gas/series-limits.ts';

function result<Value>(): { readonly type?: Value } {
  return {};
}

const hash = z.string().regex(/^[0-9a-f]{64}$/);

export const seriesContract = {
  /**
   * Keeps a text of the form `stagecall-series/1`; the same text twice is kept once. A `series-attached` names it by its hash; one
   * that no record names within an hour is thrown away. Failures: `series-damaged`, and the disk's own.
   */
  'series.put': { input: z.object({ text: z.string().min(2).max(LARGEST_SERIES) }), result: result<{ readonly hash: string }>() },
  /** Failure `no-such-series`. */
  'series.get': { input: z.object({ hash }), result: result<{ readonly text: string }>() },
  /** The mapping that was last confirmed for a set of headings; `key` is the SHA-256 of `headingKey`. Null where there is none. */
  'mapping.get': { input: z.object({ key: hash }), result: result<{ readonly mapping: unknown }>() },
  'mapping.remember': { input: z.object({ key: hash, mapping: z.unknown() }), result: result<{ readonly remembered: true }>() },
} as const;

/** Gas exchange files of the station in memory: kept by hash, with the same refusals. */
import type { Handlers } from '../../core/contract/contract.ts';
import { readKept, readMapping } from '../../core/gas/gas.ts';
import { sha256Hex } from '../../core/record/chain.ts';
import { failure, success } from '../../core/result.ts';
import { mayAttach } from '../../electron/station/series.ts';

type SeriesHandlers = Pick<Handlers, 'series.put' | 'series.get' | 'mapping.get' | 'mapping.remember'>;

export function fakeSeries(): { readonly handlers: SeriesHandlers; readonly text: (hash: string) => string | undefined; readonly mayAttach: (state: Parameters<typeof mayAttach>[1], data: unknown) => ReturnType<typeof mayAttach> } {
  const texts = new Map<string, string>();
  const mappings = new Map<string, unknown>();
  return {
    text: (hash) => texts.get(hash),
    mayAttach: (state, data) => mayAttach({ series: (hash) => success(texts.get(hash)) }, state, data),
    handlers: {
      'series.put': async ({ text }) => {
        const table = readKept(text);
        if (!table.ok) return table;
        texts.set(sha256Hex(text), text);
        return success({ hash: sha256Hex(text) });
      },
      'series.get': async ({ hash }) => {
        const text = texts.get(hash);
        return text === undefined ? failure('no-such-series', 'The rows of this gas exchange file are not on this station.') : success({ text });
      },
      'mapping.get': async ({ key }) => success({ mapping: mappings.get(key) ?? null }),
      'mapping.remember': async ({ key, mapping }) => {
        const confirmed = readMapping(mapping);
        if (!confirmed.ok) return confirmed;
        mappings.set(key, confirmed.value);
        return success({ remembered: true as const });
      },
    },
  };
}

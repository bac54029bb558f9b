/** Gas exchange files: kept by content, and joined to a session only where they can be read again as they were confirmed. */
import type { Handlers } from '../../core/contract/contract.ts';
import { importOptions, readKept, readMapping, readSeries } from '../../core/gas/kept-series.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { sessionKinds } from '../../core/session/events.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { Store } from '../store/store.ts';

type SeriesCommand = 'series.put' | 'series.get' | 'mapping.get' | 'mapping.remember';

/** @param of asked at each command, since the handlers are made before the station is. @param wallMs the wall clock. */
export function seriesHandlers(of: () => Store, wallMs: () => number): Pick<Handlers, SeriesCommand> {
  return {
    'series.put': async ({ text }) => {
      const table = readKept(text);
      if (!table.ok) return table;
      const kept = of().putSeries(text, wallMs());
      return kept.ok ? success({ hash: kept.value }) : kept;
    },
    'series.get': async ({ hash }) => {
      const text = of().series(hash);
      if (!text.ok) return text;
      return text.value === undefined ? notHere() : success({ text: text.value });
    },
    'mapping.get': async ({ key }) => {
      const mapping = of().mapping(key);
      return mapping.ok ? success({ mapping: mapping.value ?? null }) : mapping;
    },
    'mapping.remember': async ({ key, mapping }) => {
      const confirmed = readMapping(mapping);
      if (!confirmed.ok) return confirmed;
      const kept = of().rememberMapping(key, confirmed.value, wallMs());
      return kept.ok ? success({ remembered: true as const }) : kept;
    },
  };
}

const notHere = (): Result<never> => failure('no-such-series', 'The rows of this gas exchange file are not on this station. Choose the file again. Nothing was joined to the session.');

/** Whether a file may be joined: its rows are here under that hash, and are read again as the event says. */
export function mayAttach(store: Pick<Store, 'series'>, state: SessionState, data: unknown): Result<void> {
  const attached = sessionKinds['series-attached'].safeParse(data);
  if (!attached.success) return success(undefined); // core says what is wrong with it
  const text = store.series(attached.data.hash);
  if (!text.ok) return text;
  if (text.value === undefined) return notHere();
  const series = readSeries(text.value, attached.data.mapping, importOptions(state));
  if (!series.ok) return series;
  const { length, rows } = series.value;
  if (length !== attached.data.rows || (rows.kind === 'per-breath') !== attached.data.perBreath)
    return failure('series-differs', `The file reads as ${length} rows here, and the window says ${attached.data.rows}. Nothing was joined; choose the file again.`);
  return success(undefined);
}

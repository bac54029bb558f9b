/** A station on a store of its own, without timers, windows or a lock: for one replay. */
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import type { Handlers } from '../../core/contract/contract.ts';
import { checkChain } from '../../core/record/chain.ts';
import { SessionFold } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { foldWorksheet, type WorksheetState } from '../../core/worksheet/fold.ts';
import { programVersion } from '../program-root.ts';
import { systemClock } from '../station/clock.ts';
import { stationKey } from '../station/key.ts';
import { sheetTexts } from '../station/sheets.ts';
import { Station } from '../station/station.ts';
import { writers } from '../station/writers.ts';
import { DATABASE_NAME } from '../store/backups.ts';
import { openStore } from '../store/sqlite-store.ts';
import type { NamedSheet } from './files.ts';
import { LabError } from './lab-error.ts';

export interface OwnStation {
  readonly handlers: Handlers;
  sessionState(session: string): SessionState;
  worksheetState(worksheet: string): WorksheetState;
  close(): void;
}

/** @param folder made for it. @throws {LabError} where the store cannot be opened. */
export function openOwnStation(folder: string, sheet: NamedSheet): OwnStation {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const opened = openStore(path.join(folder, DATABASE_NAME));
  if (!opened.ok) throw new LabError(opened.error.message);
  const store = opened.value;
  const station = new Station({ store, clock: systemClock(), key: stationKey(folder), sheets: sheetTexts({ [sheet.file]: sheet.text }), version: programVersion(), shell: 'command-line', capabilities: { save: 'download', strap: false, secondWindow: false }, ...writers });
  const events = (record: string) => {
    const stored = store.read(record, 0);
    if (!stored.ok) throw new LabError(stored.error.message);
    const chain = checkChain(stored.value, record);
    if (!chain.ok) throw new LabError(chain.message);
    return chain.events;
  };
  return {
    handlers: station.handlers,
    sessionState(session) {
      const fold = new SessionFold();
      for (const event of events(session)) fold.add(event);
      return fold.state();
    },
    worksheetState: (worksheet) => foldWorksheet(events(worksheet)),
    close: () => store.close(),
  };
}

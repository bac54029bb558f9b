/** A session from another machine at the station in memory: `.json` alone. */
import type { Handlers } from '../../core/contract/contract.ts';
import type { RecordEvent, StoredEvent } from '../../core/record/event.ts';
import { failure, success } from '../../core/result.ts';
import { foldWorksheet } from '../../core/worksheet/fold.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';

export interface TakenIn {
  readonly id: string;
  readonly kind: 'session' | 'worksheet';
  readonly session?: string;
  readonly events: readonly RecordEvent[];
  readonly stored: readonly StoredEvent[];
}

export function fakeTake(has: (record: string) => boolean, keep: (record: TakenIn) => void): Pick<Handlers, 'session.take'> {
  return {
    'session.take': async ({ base64 }) => {
      const read = readWorksheetFile(new TextDecoder().decode(Uint8Array.from(atob(base64), (one) => one.charCodeAt(0))));
      if (!read.ok) return read;
      const refused = read.value.findings.find(({ level }) => level === 'refusal');
      if (refused) return failure(refused.code, refused.text);
      const { file, session, worksheet } = read.value;
      const known = has(file.session.id);
      if (!known) keep({ id: file.session.id, kind: 'session', events: session, stored: file.session.events });
      if (!has(file.worksheet.id)) keep({ id: file.worksheet.id, kind: 'worksheet', session: file.session.id, events: worksheet, stored: file.worksheet.events });
      return success({ session: file.session.id, worksheet: file.worksheet.id, student: foldWorksheet(worksheet).student, known });
    },
  };
}

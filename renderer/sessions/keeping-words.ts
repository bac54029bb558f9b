/** What the copies hold and lack, in words. */
import type { BackupCopy } from '../../core/contract/backups.ts';
import { wallText } from '../shared/wall-text.ts';

export function many(count: number, one: string, more: string): string {
  return `${count === 0 ? 'no' : count} ${count === 1 ? one : more}`;
}

/** "12 sessions, 31 worksheets" */
export function holdsText({ holds }: BackupCopy): string {
  if (!holds) return 'damaged: it cannot be gone back to';
  return `${many(holds.sessions, 'session', 'sessions')}, ${many(holds.worksheets, 'worksheet', 'worksheets')}, ${many(holds.entries, 'entry', 'entries')}`;
}

/** What going back to it would set aside. */
export function lacksText({ holds, lacks }: BackupCopy): string {
  if (!holds) return '';
  if (!lacks) return 'what it lacks cannot be told, since the present record cannot be read';
  if (lacks.entries === 0) return 'lacks nothing of the present record';
  const whole = [
    ...(lacks.sessions === 0 ? [] : [many(lacks.sessions, 'session', 'sessions')]),
    ...(lacks.worksheets === 0 ? [] : [many(lacks.worksheets, 'worksheet', 'worksheets')]),
    many(lacks.entries, 'entry', 'entries'),
  ];
  return `lacks ${whole.join(', ')} of the present record`;
}

/** To the second, since two copies may be of one minute. */
export function copyTime(iso: string): string {
  const seconds = String(new Date(iso).getSeconds()).padStart(2, '0');
  return wallText(iso).replace(/(\d\d:\d\d)$/, `$1:${seconds}`);
}

/** The marking desk's sets at the station: loaded when first asked for, so that the first screen does not wait for them. */
import path from 'node:path';
import { markingSetContract } from '../../core/contract/marking-sets.ts';
import { setClassContract } from '../../core/contract/set-class.ts';
import { failure } from '../../core/result.ts';
import type { SetDesk, SetHandlers } from '../desk/set-desk.ts';
import type { Clock } from './clock.ts';
import { builtProgram, type SheetShelf } from './sheets.ts';

/** Folder of the sets inside the data folder. */
const SETS_FOLDER = 'marking-sets';

export interface MarkingSetsOptions {
  readonly folder: string;
  readonly clock: Pick<Clock, 'wallMs'>;
  readonly sheets: SheetShelf;
}

/** The marking desk of this station, loaded when it is first asked for. */
export class MarkingSets {
  readonly #options: MarkingSetsOptions;
  #loading: Promise<SetDesk> | undefined;
  #desk: SetDesk | undefined;

  constructor(options: MarkingSetsOptions) {
    this.#options = options;
  }

  async desk(): Promise<SetDesk> {
    const { folder, clock, sheets } = this.#options;
    this.#loading ??= import('../desk/set-desk.ts').then(({ SetDesk: Desk }) => new Desk({ folder: path.join(folder, SETS_FOLDER), clock, sheets, program: builtProgram() ?? `sources, ${process.pid}, ${Date.now()}` }));
    return (this.#desk = await this.#loading);
  }

  /** Stops all marking and lets go of the files; what is written is kept. */
  close(): void {
    this.#desk?.close();
    this.#desk = undefined;
    this.#loading = undefined;
  }
}

/** @param sets undefined where nothing is kept: every command then says so. */
export function markingSetHandlers(sets: () => MarkingSets | undefined): SetHandlers {
  const answer = async (name: keyof SetHandlers, input: never): Promise<unknown> => {
    const kept = sets();
    if (kept === undefined) return failure('not-here', 'Marking sets are not kept in this shell. Use: npm run -s lab -- mark --help.');
    const desk = await kept.desk();
    return (desk.handlers[name] as (input: never) => Promise<unknown>)(input);
  };
  const names = [...Object.keys(markingSetContract), ...Object.keys(setClassContract)] as (keyof SetHandlers)[];
  return Object.fromEntries(names.map((name) => [name, async (input: never) => answer(name, input)])) as unknown as SetHandlers;
}

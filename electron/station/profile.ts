/** The station's profile: one YAML file in the data folder, read when asked for and written whole or not at all. */
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, rmSync, statSync, writeSync } from 'node:fs';
import path from 'node:path';
import type { Handlers } from '../../core/contract/contract.ts';
import type { ProfileAnswer } from '../../core/contract/profile.ts';
import { loadProfile, profileProblemText } from '../../core/profile/load.ts';
import { LONGEST_PROFILE } from '../../core/profile/schema.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { faultOf } from '../store/faults.ts';
import type { InstructorLock } from './passphrase.ts';

export const PROFILE_FILE = 'station-profile.yaml';
const NONE: ProfileAnswer = { text: '', problems: [] };

/** The station’s profile in its file, read anew whenever it has changed on disk. */
export class ProfileFile {
  readonly #file: string | undefined;
  #inMemory = '';
  /** The text that was checked last, so that an unchanged file costs nothing. */
  #read: { readonly text: string; readonly answer: ProfileAnswer } = { text: '', answer: NONE };

  /** @param folder where the file lies; undefined keeps it in memory (tests, command line). */
  constructor(folder?: string) {
    this.#file = folder === undefined ? undefined : path.join(folder, PROFILE_FILE);
  }

  /** @returns failure only where the disk cannot be read; a faulty file is an answer with problems and no profile. */
  read(): Result<ProfileAnswer> {
    let text = this.#inMemory;
    if (this.#file !== undefined) {
      try {
        // A video by that name is not read into memory to find that out.
        if (statSync(this.#file).size > 4 * LONGEST_PROFILE) return success({ text: '', problems: [`${this.#file} is far too large for a station profile. It is not used; save one from the profile page.`] });
        text = readFileSync(this.#file, 'utf8');
      } catch (cause) {
        if ((cause as NodeJS.ErrnoException).code === 'ENOENT') return success(NONE);
        const fault = faultOf(cause, 'reading', this.#file);
        if (fault) return fault;
        throw cause;
      }
    }
    if (text !== this.#read.text) this.#read = { text, answer: answerOf(text) };
    return success(this.#read.answer);
  }

  /** Writes the profile if it can be used; an empty text takes it away. */
  save(text: string): Result<ProfileAnswer> {
    const answer = answerOf(text);
    if (answer.problems.length > 0)
      return failure('profile-invalid', `Not saved: the profile has ${answer.problems.length === 1 ? 'a fault' : `${answer.problems.length} faults`}. The one before is kept. ${answer.problems[0]}`, answer.problems);
    if (this.#file === undefined) this.#inMemory = text;
    else {
      try {
        if (text.trim() === '') rmSync(this.#file, { force: true });
        else {
          // Beside it first and on disk, so that a crash in between leaves the one or the other.
          const file = openSync(`${this.#file}.new`, 'w');
          writeSync(file, text);
          fsyncSync(file);
          closeSync(file);
          renameSync(`${this.#file}.new`, this.#file);
        }
      } catch (cause) {
        const fault = faultOf(cause, 'opening', this.#file);
        if (fault) return fault;
        throw cause;
      }
    }
    this.#read = { text, answer };
    return success(answer);
  }
}

function answerOf(text: string): ProfileAnswer {
  if (text.trim() === '') return NONE;
  const loaded = loadProfile(text);
  return loaded.ok ? { text, profile: loaded.profile, problems: [] } : { text, problems: loaded.problems.map(profileProblemText) };
}

/**
 * Details that the profile answers for every new live session: its course and term, where it names one course only. Written
 * as if typed in Prepare, where they can be changed.
 */
export function openingDetails(file: ProfileFile): readonly { readonly kind: string; readonly version: number; readonly data: unknown }[] {
  const read = file.read();
  const [course, ...others] = (read.ok && read.value.profile?.courses) || [];
  if (!course || others.length > 0) return [];
  const given = { course: course.name, ...(course.term === undefined ? {} : { term: course.term }) };
  return Object.entries(given).map(([detail, typed]) => ({ kind: 'detail-given', version: 1, data: { detail, typed: typed.slice(0, 200) } }));
}

/** The contract's commands over the file. @param changed told after a profile was saved. */
export function profileHandlers(of: () => { readonly file: ProfileFile; readonly lock: InstructorLock; readonly changed: () => void }): Pick<Handlers, 'profile.read' | 'profile.save'> {
  return {
    'profile.read': async () => of().file.read(),
    'profile.save': async ({ text, unlock }) => {
      const { file, lock, changed } = of();
      const unlocked = lock.unlocks(unlock, 'action', 'Changing the station’s profile');
      if (!unlocked.ok) return unlocked;
      const saved = file.save(text);
      if (!saved.ok) return saved;
      lock.spend(unlock);
      changed();
      return saved;
    },
  };
}

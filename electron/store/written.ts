/**
 * What was written to a record, as far as the next write needs it: where it ends, and which command wrote which events.
 * Worked out from the stored events when the record is first written to, and kept up after that; so a write touches one
 * page of the database and asks it nothing.
 */
import { CHAIN_START } from '../../core/record/chain.ts';

export interface CommandPlace {
  readonly first: number;
  count: number;
  /** Digest of what the command asked for. */
  readonly said: string;
}

export interface StoredRow {
  readonly seq: number;
  readonly command: string;
  readonly hash: string;
  readonly said: string | null;
}

export class Written {
  length = 0;
  head = CHAIN_START;
  readonly #commands = new Map<string, CommandPlace>();

  add({ seq, command, hash, said }: StoredRow): void {
    this.length = seq + 1;
    this.head = hash;
    const known = this.#commands.get(command);
    if (said !== null || known === undefined) this.#commands.set(command, { first: seq, count: 1, said: said ?? '' });
    else known.count++;
  }

  command(id: string): CommandPlace | undefined {
    return this.#commands.get(id);
  }
}

/** A marking set as it stands: what its facts make of it, in whatever order they came. Plain data beside its registers. */
import { sha256Hex } from '../record/chain.ts';
import type { LateRule, RosterEntry, SeveralRule } from './events.ts';
import { Registers } from './registers.ts';
import { readFacts, type Fact, type StoredFact } from './set-chain.ts';
import type { KeyVersion } from './view-types.ts';

export interface AdoptedKey extends KeyVersion {
  /** The lab sheet's text. */
  readonly sheetText: string;
  readonly keyText?: string;
}

/** A file of the set, as it came. */
export interface SetFile {
  readonly file: string;
  readonly name: string;
  readonly folder: string;
  readonly bytes: string;
  readonly record?: string;
  readonly findings: readonly { readonly code: string; readonly level: 'fact' | 'warning' | 'refusal'; readonly text: string }[];
  readonly wall: string;
  readonly entered: number;
  readonly by: string;
}

export interface SetState {
  readonly id: string;
  readonly title: string;
  readonly term: string;
  readonly sheetId: string;
  readonly openedWall: string;
  readonly openedBy: string;
  readonly archived?: { readonly wall: string; readonly by: string; readonly reason: string; readonly marks: string };
  /** Every key that was adopted and not withdrawn, oldest first. */
  readonly keys: readonly AdoptedKey[];
  readonly key?: AdoptedKey;
  /** The key that the present one replaced. */
  readonly keyBefore?: AdoptedKey;
  readonly roster?: readonly RosterEntry[];
  readonly due?: string;
  readonly lateRule: LateRule;
  readonly severalRule: SeveralRule;
  readonly markers: readonly { readonly initials: string; readonly name: string }[];
  /** In the order in which they were added. */
  readonly files: readonly SetFile[];
  readonly facts: readonly Fact[];
  readonly registers: Registers;
  /** The last time that marks were written out: the hash of the kept copy. */
  readonly lastExport?: string;
  /** What could not be read of the set, in words. */
  readonly problems: readonly string[];
}

/** The same moment for everyone, whatever machine shows it. */
export const wallOf = (entered: number): string => new Date(entered).toISOString();

/**
 * Folds a set's stored facts. The order in which they are given does not matter, and a fact given twice counts once.
 * @throws {Error} when no fact opens the set: the store never makes such a one.
 */
export function foldSet(stored: readonly StoredFact[]): SetState {
  const { facts, problems } = readFacts(stored);
  const opened = facts.find((fact) => fact.event.kind === 'set-opened');
  if (opened?.event.kind !== 'set-opened') throw new Error('a marking set begins with the fact set-opened');
  const registers = new Registers(facts);
  const named = registers.get('name', 'set-named')?.event.data ?? opened.event.data;
  const keys = keysOf(facts, registers);
  const inForce = registers.get('key', 'key-adopted');
  const key = keys.find((version) => version.id === inForce?.id);
  const keyBefore = keys.filter((version) => (inForce?.event.data.over ?? []).includes(version.id)).at(-1);
  const roster = registers.get('roster', 'roster-loaded')?.event.data.students;
  const due = registers.get('due', 'due-set')?.event.data.due;
  const archived = facts.findLast((fact) => fact.event.kind === 'set-archived');
  const exported = facts.findLast((fact) => fact.event.kind === 'marks-exported')?.event;
  return {
    id: opened.event.record,
    title: named.title,
    term: named.term,
    sheetId: opened.event.data.sheet,
    openedWall: wallOf(opened.event.entered),
    openedBy: opened.event.author,
    ...(archived?.event.kind === 'set-archived' ? { archived: { wall: wallOf(archived.event.entered), by: archived.event.author, reason: archived.event.data.reason, marks: archived.event.data.marks } } : {}),
    keys,
    ...(key === undefined ? {} : { key }),
    ...(keyBefore === undefined ? {} : { keyBefore }),
    ...(roster === undefined ? {} : { roster }),
    ...(due === undefined || due === null ? {} : { due }),
    lateRule: registers.get('late-rule', 'late-rule-set')?.event.data.rule ?? { kind: 'flag-only' },
    severalRule: registers.get('several-rule', 'several-rule-set')?.event.data.rule ?? 'last',
    markers: markersOf(registers),
    files: filesOf(facts),
    facts,
    registers,
    ...(exported?.kind === 'marks-exported' ? { lastExport: exported.data.marks } : {}),
    problems,
  };
}

/** SHA-256 over a lab sheet's text and the key beside it. */
export function keyHashOf(sheetText: string, keyText: string | undefined): string {
  return sha256Hex(`${sheetText}\n\u0000\n${keyText ?? ''}`);
}

function keysOf(facts: readonly Fact[], registers: Registers): readonly AdoptedKey[] {
  return facts.flatMap(({ id, event }): AdoptedKey[] => {
    if (event.kind !== 'key-adopted' || registers.withdrawn(id)) return [];
    const { version = 1, sheet, key, reason } = event.data;
    const hash = keyHashOf(sheet, key);
    return [
      {
        id,
        version,
        name: `v${version} (${hash.slice(0, 4)})`,
        hash,
        by: event.author,
        wall: wallOf(event.entered),
        ...(reason === undefined ? {} : { reason }),
        split: key !== undefined,
        sheetText: sheet,
        ...(key === undefined ? {} : { keyText: key }),
      },
    ];
  });
}

function markersOf(registers: Registers): SetState['markers'] {
  return registers
    .slots()
    .filter((slot) => slot.startsWith('marker/'))
    .flatMap((slot) => {
      const named = registers.get(slot, 'marker-named')?.event.data;
      return named === undefined ? [] : [{ initials: named.initials, name: named.name }];
    })
    .toSorted((a, b) => (a.initials < b.initials ? -1 : 1));
}

/** A file that two markers added is one file: the first time counts. */
function filesOf(facts: readonly Fact[]): readonly SetFile[] {
  const files = new Map<string, SetFile>();
  for (const { event } of facts) {
    if (event.kind !== 'file-added' || files.has(event.data.file)) continue;
    const { file, name, folder, bytes, record, findings } = event.data;
    files.set(file, { file, name, folder, bytes, ...(record === undefined ? {} : { record }), findings, wall: wallOf(event.entered), entered: event.entered, by: event.author });
  }
  return [...files.values()];
}

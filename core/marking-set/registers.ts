/**
 * Places in a set that facts write to, and what stands in them. A fact names the facts that it replaces (`over`): those that its
 * writer had before it. Whatever was neither replaced nor withdrawn stands; where several stand and say different things, markers
 * wrote without seeing one another. All of this hangs on the facts alone, never on the order in which they came.
 */
import type { SetEvent } from './events.ts';
import { inOrder, type Fact } from './set-chain.ts';

/** The place that a fact writes to; undefined for facts that only add. `part`: a row of a question, '' for the whole of it. */
export function placeOf(event: SetEvent): { readonly slot: string; readonly part: string } | undefined {
  const at = (slot: string, part = ''): { readonly slot: string; readonly part: string } => ({ slot, part });
  switch (event.kind) {
    case 'set-named':
      return at('name');
    case 'key-adopted':
      return at('key');
    case 'roster-loaded':
      return at('roster');
    case 'due-set':
      return at('due');
    case 'late-rule-set':
      return at('late-rule');
    case 'several-rule-set':
      return at('several-rule');
    case 'marker-named':
      return at(`marker/${event.data.initials}`);
    case 'file-set-aside':
      return at(`aside/${event.data.file}`);
    case 'student-corrected':
      return at(`student/${event.data.file}`);
    case 'rehearsal-accepted':
      return at(`rehearsal/${event.data.session}`);
    case 'issued-accepted':
      return at(`issued/${event.data.session}`);
    case 'extension-given':
      return at(`extension/${event.data.student}`);
    case 'mark-moderated':
      return at(markSlot(event.data.worksheet, event.data.question), event.data.row ?? '');
    case 'written-marked':
      return at(markSlot(event.data.worksheet, event.data.question));
    case 'record-marked':
      return at(recordSlot(event.data.session, event.data.item));
    default:
      return undefined;
  }
}

/** Ids come from handed-in files: whatever they hold, they never reach into another place. */
export const markSlot = (worksheet: string, question: string): string => `mark/${encodeURIComponent(worksheet)}/${encodeURIComponent(question)}`;
export const recordSlot = (session: string, item: string): string => `record/${encodeURIComponent(session)}/${encodeURIComponent(item)}`;

/** Whether two writes touch: a mark of the whole question and one of a row do. */
const touch = (a: string, b: string): boolean => a === b || a === '' || b === '';

/** What a fact says, without why and on what ground: two facts that say the same are no conflict. */
export function meaningOf(event: SetEvent): string {
  const { over: _over, reason: _reason, comment: _comment, ground: _ground, name: _name, version: _version, level: _level, ...says } = event.data as Record<string, unknown>;
  return JSON.stringify(event.kind === 'marker-named' ? event.data.name : says);
}

/** What stands in each place of a set, worked out from the facts alone and so the same in whatever order they came. */
export class Registers {
  readonly #bySlot = new Map<string, Fact[]>();
  readonly #withdrawals = new Map<string, Fact[]>();
  readonly #memo = new Map<string, boolean>();

  /** @param facts in the set's own order. */
  constructor(facts: readonly Fact[]) {
    for (const fact of facts) {
      if (fact.event.kind === 'withdrawn') push(this.#withdrawals, fact.event.data.target, fact);
      const place = placeOf(fact.event);
      if (place !== undefined) push(this.#bySlot, place.slot, fact);
    }
  }

  /** Withdrawn, and the withdrawal was not withdrawn itself. A fact can only name facts that were there before it, so this ends. */
  withdrawn(id: string): boolean {
    const known = this.#memo.get(id);
    if (known !== undefined) return known;
    // Until it is known: a circle cannot be made without breaking the hash, and would end here.
    this.#memo.set(id, false);
    const answer = (this.#withdrawals.get(id) ?? []).some((fact) => !this.withdrawn(fact.id));
    this.#memo.set(id, answer);
    return answer;
  }

  slots(): readonly string[] {
    return [...this.#bySlot.keys()];
  }

  /** Every fact that was ever written to a place, withdrawn ones too. */
  all(slot: string): readonly Fact[] {
    return this.#bySlot.get(slot) ?? [];
  }

  /** What stands, newest first: the first is in force. Of a mark, whole questions come before rows. */
  standing(slot: string, part?: string): readonly Fact[] {
    const live = this.all(slot).filter((fact) => !this.withdrawn(fact.id));
    const replaced = this.#replacedBy(slot, live);
    return live
      .filter((fact) => !replaced.has(fact.id) && (part === undefined || partOf(fact) === part))
      .toSorted((a, b) => Number(partOf(a) !== '') - Number(partOf(b) !== '') || inOrder(b, a));
  }

  /** What these facts replace, and what that had replaced in its turn, withdrawn or not: only taking back the last one brings it back. */
  #replacedBy(slot: string, live: readonly Fact[]): ReadonlySet<string> {
    const over = new Map(this.all(slot).map((fact) => [fact.id, fact.event.data.over ?? []] as const));
    const replaced = new Set<string>();
    const open = live.flatMap((fact) => fact.event.data.over ?? []);
    for (let id = open.pop(); id !== undefined; id = open.pop()) {
      if (replaced.has(id)) continue;
      replaced.add(id);
      open.push(...(over.get(id) ?? []));
    }
    return replaced;
  }

  /** The event in force at a place, where it is of this kind. */
  get<Kind extends SetEvent['kind']>(slot: string, kind: Kind): (Fact & { readonly event: Extract<SetEvent, { kind: Kind }> }) | undefined {
    const [first] = this.standing(slot);
    return first?.event.kind === kind ? (first as Fact & { readonly event: Extract<SetEvent, { kind: Kind }> }) : undefined;
  }

  /** Facts that a new one for this place would replace. */
  replacedBy(slot: string, part: string): readonly string[] {
    return this.standing(slot)
      .filter((fact) => touch(partOf(fact), part))
      .map((fact) => fact.id);
  }

  /** Facts that stand together at a place and do not say the same; empty where all is agreed. */
  conflicting(slot: string): readonly Fact[] {
    const standing = this.standing(slot);
    const apart = standing.filter((fact) => standing.some((other) => other !== fact && touch(partOf(fact), partOf(other)) && meaningOf(fact.event) !== meaningOf(other.event)));
    return apart;
  }
}

export const partOf = (fact: Fact): string => placeOf(fact.event)?.part ?? '';

function push<Key, Value>(map: Map<Key, Value[]>, key: Key, value: Value): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}

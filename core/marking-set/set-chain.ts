/**
 * A set's facts as they are stored: each carries its hash, made over the hash of the fact that its writer had last and its own
 * text. A hash is a fact's name: two copies of a set are put together by putting their facts together, whatever their order.
 */
import { bodyOf, eventOf, type RecordEvent } from '../record/event.ts';
import { chainHash, CHAIN_START, sha256Hex } from '../record/chain.ts';
import { isSetKind, setKinds, type SetEvent } from './events.ts';

export interface StoredFact {
  /** Hash of the fact before it in the copy where it was written; 64 zeros for the first. */
  readonly prev: string;
  /** The exact stored text: an event whose times are wall-clock milliseconds. */
  readonly body: string;
  readonly hash: string;
}

export interface Fact {
  /** Its hash. */
  readonly id: string;
  readonly event: SetEvent;
}

export interface ReadFacts {
  /** In the set's own order: by the moment of entry, and for equal moments by hash. The same for every copy. */
  readonly facts: readonly Fact[];
  /** Facts that could not be taken, in words. */
  readonly problems: readonly string[];
}

/** The fact as it is to be stored. */
export function makeFact(prev: string, event: RecordEvent): StoredFact {
  const body = bodyOf(event);
  return { prev, body, hash: chainHash(prev, body) };
}

/** Id of a file within a set: the same bytes under the same name and folder are the same file, on every marker's machine. */
export function fileIdOf(bytes: string, folder: string, name: string): string {
  return `f-${sha256Hex(`${bytes}\n${folder}\n${name}`).slice(0, 20)}`;
}

/** What a stored fact was read as. A set is folded again with every fact; each is checked and parsed once. */
const readBefore = new WeakMap<StoredFact, Fact | string>();

/**
 * Reads stored facts: each must match its hash, follow a fact that is there, and have the shape of its kind. What does not is
 * left out and named; the rest is read.
 */
export function readFacts(stored: readonly StoredFact[]): ReadFacts {
  const known = new Set(stored.map(({ hash }) => hash));
  const problems: string[] = [];
  const facts = new Map<string, Fact>();
  for (const one of stored) {
    if (facts.has(one.hash)) continue;
    if (one.prev !== CHAIN_START && !known.has(one.prev)) {
      problems.push('A fact of this set follows one that is missing: part of the set was lost. What is there is shown.');
    }
    const fact = readBefore.get(one) ?? readFact(one);
    readBefore.set(one, fact);
    if (typeof fact === 'string') problems.push(fact);
    else facts.set(one.hash, fact);
  }
  return { facts: [...facts.values()].sort(inOrder), problems: [...new Set(problems)] };
}

function readFact({ prev, body, hash }: StoredFact): Fact | string {
  if (chainHash(prev, body) !== hash) return 'A fact of this set does not match its hash: it was changed after it was written. It was left out.';
  const event = readEvent(body);
  return typeof event === 'string' ? event : { id: hash, event };
}

function readEvent(body: string): SetEvent | string {
  try {
    const event = eventOf(body);
    if (!isSetKind(event.kind) || event.version !== 1) return `This set holds "${event.kind.slice(0, 40)}" (version ${event.version}), written by a newer program. It was left out; open the set with a newer Stagecall.`;
    const parsed = setKinds[event.kind].safeParse(event.data);
    const over = (event.data as { over?: unknown } | null)?.over;
    if (!parsed.success) return `A fact of this set (${event.kind}) has a wrong shape and was left out.`;
    return { ...event, data: { ...parsed.data, ...(Array.isArray(over) ? { over: over.filter((item) => typeof item === 'string') } : {}) } } as SetEvent;
  } catch {
    return 'A fact of this set cannot be read and was left out.';
  }
}

/** By the moment of entry, then by hash. */
export function inOrder(a: Fact, b: Fact): number {
  return a.event.entered - b.event.entered || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);
}

/** The facts of both copies, each once; those of `own` first, in their order. */
export function mergeFacts(own: readonly StoredFact[], other: readonly StoredFact[]): readonly StoredFact[] {
  return [...new Map([...own, ...other].map((fact) => [fact.hash, fact] as const)).values()];
}

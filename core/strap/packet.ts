/**
 * One packet of a heart-rate strap: the Heart Rate Measurement characteristic (0x2A37) of Bluetooth's Heart Rate Service (0x180D),
 * little-endian, as public documents after the Bluetooth SIG's own have it.
 */
import { failure, success, type Result } from '../result.ts';

/** The service and the characteristic by their assigned numbers. */
export const HEART_RATE_SERVICE = 0x180d;
export const HEART_RATE_MEASUREMENT = 0x2a37;

/** RR intervals are counted in parts of this many to the second; the service's own unit. */
const RR_PER_SECOND = 1024;

export interface StrapPacket {
  /** /min, as sent: 0 and impossible values too; what may stand is `usableRate`'s matter. */
  readonly heartRate: number;
  /** Whether the strap feels skin; `not-told` where it has no such feature (the contact bit then means nothing). */
  readonly contact: 'good' | 'lost' | 'not-told';
  /** Energy expended since it was last reset, kilojoules; undefined where the packet has none. */
  readonly energy?: number;
  /** Times from beat to beat, milliseconds, oldest first; often none, often several. */
  readonly intervals: readonly number[];
}

/** Flag bits; 5 to 7 are reserved and ignored. */
const WIDE = 1 << 0;
const CONTACT_FELT = 1 << 1;
const CONTACT_TOLD = 1 << 2;
const HAS_ENERGY = 1 << 3;
const HAS_INTERVALS = 1 << 4;

/**
 * Reads a packet.
 * @param bytes the characteristic's value.
 * @returns failure `bad-packet` where the length is not the one that the flags promise: such a packet is never read in part.
 */
export function readStrapPacket(bytes: Uint8Array): Result<StrapPacket> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (view.byteLength === 0) return refused('it is empty');
  const flags = view.getUint8(0);
  let at = 1;
  const left = (): number => view.byteLength - at;
  const rateWidth = flags & WIDE ? 2 : 1;
  if (left() < rateWidth) return refused('it ends before the heart rate');
  const heartRate = rateWidth === 2 ? view.getUint16(at, true) : view.getUint8(at);
  at += rateWidth;
  let energy: number | undefined;
  if (flags & HAS_ENERGY) {
    if (left() < 2) return refused('it ends before the energy');
    energy = view.getUint16(at, true);
    at += 2;
  }
  const intervals: number[] = [];
  if (flags & HAS_INTERVALS) {
    if (left() % 2 !== 0) return refused('it ends within an RR interval');
    for (; left() > 0; at += 2) intervals.push((view.getUint16(at, true) * 1000) / RR_PER_SECOND);
  } else if (left() > 0) return refused(`it has ${left()} bytes more than its flags say`);
  const contact = flags & CONTACT_TOLD ? (flags & CONTACT_FELT ? 'good' : 'lost') : 'not-told';
  return success({ heartRate, contact, ...(energy === undefined ? {} : { energy }), intervals });
}

const refused = (why: string): Result<never> => failure('bad-packet', `A packet of the strap was left out: ${why}.`);

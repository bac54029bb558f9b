/**
 * The strap's packets against worked examples of the service's layout (computed by an independent script
 * from the Bluetooth SIG's layout), and what of them may count.
 */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readStrapPacket, type StrapPacket } from '../../core/strap/packet.ts';
import { medianRate, strapOffer, usableRate, usableSamples, type StrapSample } from '../../core/strap/window.ts';

const bytes = (hex: string): Uint8Array => Uint8Array.from(hex.split(' ').filter(Boolean), (byte) => Number.parseInt(byte, 16));
const read = (hex: string): StrapPacket => {
  const packet = readStrapPacket(bytes(hex));
  if (!packet.ok) throw new Error(packet.error.message);
  return packet.value;
};

describe('example packets of the Heart Rate Service', () => {
  // Intervals to half a unit of the last printed digit.
  it.each([
    ['00 48', 72, 'not-told', undefined, []],
    ['06 78', 120, 'good', undefined, []],
    ['04 4B', 75, 'lost', undefined, []],
    ['16 48 69 03', 72, 'good', undefined, [852.5]],
    ['10 8E B1 01 AF 01', 142, 'not-told', undefined, [422.9, 420.9]],
    ['1E A5 7B 00 70 01 73 01', 165, 'good', 123, [359.4, 362.3]],
    ['01 2C 01', 300, 'not-told', undefined, []],
    ['16 00', 0, 'good', undefined, []],
    ['02 3C', 60, 'not-told', undefined, []],
  ] as const)('%s', (hex, heartRate, contact, energy, intervals) => {
    const packet = read(hex);
    expect(packet).toMatchObject({ heartRate, contact });
    expect(packet.energy).toBe(energy);
    expect(packet.intervals).toHaveLength(intervals.length);
    for (const [index, interval] of intervals.entries()) expect(Math.abs((packet.intervals[index] ?? 0) - interval)).toBeLessThanOrEqual(0.05);
  });

  it('only what may count counts: 300 is over the hard limit, 0 and a strap without contact are no reading', () => {
    expect(usableRate(read('01 2C 01'))).toBeUndefined();
    expect(usableRate(read('16 00'))).toBeUndefined();
    expect(usableRate(read('04 4B'))).toBeUndefined();
    expect(usableRate(read('06 78'))).toBe(120);
    expect(usableRate(read('02 3C'))).toBe(60);
  });

  it('reads the same rate in both widths, every field at once, and a slice of a larger buffer', () => {
    expect(read('01 8E 00').heartRate).toBe(142);
    expect(read('1F A5 00 7B 00 70 01 73 01')).toEqual(read('1E A5 7B 00 70 01 73 01'));
    const larger = bytes('FF FF 06 78 FF');
    expect(readStrapPacket(larger.subarray(2, 4))).toMatchObject({ ok: true, value: { heartRate: 120 } });
    // Reserved bits 5 to 7 are ignored.
    expect(read('E6 78')).toEqual(read('06 78'));
  });

  it.each(['', '00', '01 2C', '08 48', '08 48 7B', '10 48 69', '1E A5 7B 00 70', '00 48 01', '09 2C 01 7B', '06 78 00 00'])('refuses a packet of the wrong length: "%s"', (hex) => {
    expect(readStrapPacket(bytes(hex))).toMatchObject({ ok: false, error: { code: 'bad-packet' } });
  });

  it('takes apart whatever was put together, and never throws', () => {
    const packet = fc.record({ wide: fc.boolean(), rate: fc.integer({ min: 0, max: 65_535 }), contact: fc.integer({ min: 0, max: 3 }), energy: fc.option(fc.integer({ min: 0, max: 65_535 })), rr: fc.array(fc.integer({ min: 0, max: 65_535 }), { maxLength: 9 }) });
    fc.assert(
      fc.property(packet, ({ wide, rate, contact, energy, rr }) => {
        const low = (value: number): number[] => [value & 0xff, value >> 8];
        const sent = wide ? rate : rate & 0xff;
        const raw = Uint8Array.from([(wide ? 1 : 0) | (contact << 1) | (energy === null ? 0 : 8) | (rr.length > 0 ? 16 : 0), ...(wide ? low(sent) : [sent]), ...(energy === null ? [] : low(energy)), ...rr.flatMap(low)]);
        const got = readStrapPacket(raw);
        if (!got.ok) throw new Error(got.error.message);
        expect(got.value.heartRate).toBe(sent);
        expect(got.value.energy ?? null).toBe(energy);
        expect(got.value.intervals.map((interval) => Math.round((interval * 1024) / 1000))).toEqual(rr);
      }),
    );
    fc.assert(fc.property(fc.uint8Array({ maxLength: 24 }), (raw) => void readStrapPacket(raw)));
  });
});

describe('the median over the window', () => {
  const every = (rates: readonly number[], from = 1_000, step = 1_000): StrapSample[] => rates.map((heartRate, index) => ({ at: from + index * step, packet: { heartRate, contact: 'good', intervals: [] } }));

  it('is the middle value, half a beat rounded up', () => {
    expect(medianRate([150, 147, 220])).toBe(150);
    expect(medianRate([146, 147])).toBe(147);
    expect(medianRate([])).toBeUndefined();
  });

  it('is of the window alone, up to the moment when the reading is due', () => {
    const samples = every([100, 100, 100, 140, 141, 142, 143, 144, 190, 190, 190]);
    // 4 s to 8 s: 140 to 144.
    expect(strapOffer(samples, 4_000, 8_000, 20_000)).toEqual({ rate: 142, packets: 5, from: 4_000, to: 8_000 });
    expect(strapOffer(samples, 4_000, 8_000, 6_000)).toMatchObject({ rate: 141, packets: 3 });
  });

  it('leaves out lost contact, zeros, impossible values; one spike does not move it', () => {
    const samples: StrapSample[] = [...every([147, 148, 0, 300, 147, 232]), { at: 7_000, packet: { heartRate: 40, contact: 'lost', intervals: [] } }];
    expect(strapOffer(samples, 0, 10_000, 10_000)).toEqual({ rate: 148, packets: 4, from: 1_000, to: 6_000 });
  });

  it('offers nothing of two packets, or of a strap that was lost before the window', () => {
    expect(strapOffer(every([147, 148]), 0, 10_000, 10_000)).toBeUndefined();
    expect(strapOffer(every([147, 148, 149]), 60_000, 75_000, 75_000)).toBeUndefined();
  });

  it('a packet with the same beats over and over is stuck after five seconds; a steady rate without them is not', () => {
    const stuck = Array.from({ length: 20 }, (_, index): StrapSample => ({ at: index * 1_000, packet: { heartRate: 147, contact: 'good', intervals: [408.2] } }));
    expect(usableSamples(stuck)).toHaveLength(6);
    expect(strapOffer(stuck, 8_000, 19_000, 19_000)).toBeUndefined();
    expect(strapOffer(every(Array<number>(20).fill(72)), 8_000, 19_000, 19_000)).toMatchObject({ rate: 72 });
  });

  it('a call that is open all through Rest takes the last fifteen seconds', () => {
    expect(strapOffer(every([...Array<number>(30).fill(90), ...Array<number>(20).fill(70)]), 0, 0, 50_000)).toMatchObject({ rate: 70, packets: 16 });
  });
});

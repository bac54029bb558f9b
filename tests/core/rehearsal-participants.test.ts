import { describe, expect, it } from 'vitest';
import { formulaById } from '../../core/formulas/registry.ts';
import { percentileOf } from '../../core/norms/norms.ts';
import { constants } from '../../core/rehearsal/constants.ts';
import { gasMap } from '../../core/rehearsal/gas-map.ts';
import { participantByCode, rehearsalParticipants, type Behaviour } from '../../core/rehearsal/participant.ts';

describe('the simulated participants', () => {
  it('are at least five, with codes of their own and every behaviour among them', () => {
    expect(rehearsalParticipants.length).toBeGreaterThanOrEqual(5);
    expect(new Set(rehearsalParticipants.map(({ code }) => code)).size).toBe(rehearsalParticipants.length);
    const behaviours: readonly Behaviour[] = ['steady', 'faint', 'early', 'missed-cuff'];
    for (const behaviour of behaviours) expect(rehearsalParticipants.some((participant) => participant.behaviour === behaviour)).toBe(true);
    expect(participantByCode('R-03')?.code).toBe('R-03');
    expect(participantByCode('nobody')).toBeUndefined();
  });

  it.each(rehearsalParticipants)('$code lies inside the published ranges that the file names', (participant) => {
    expect(participant.code).toMatch(/^R-\d\d$/);
    const place = percentileOf({ table: 'friend-treadmill-2015', sex: participant.sex, ageYears: participant.age, vo2: participant.vo2max });
    if (!place.ok) throw new Error(place.error.message);
    expect(place.percentile).toBeTypeOf('number');
    expect(Number(place.percentile)).toBeGreaterThanOrEqual(20);
    const tanaka = formulaById('hr-max-tanaka-2001')?.compute({ age: participant.age }) ?? Number.NaN;
    expect(Math.abs(participant.heartRateMax - tanaka)).toBeLessThanOrEqual(10);
    expect(participant.thresholds.first).toBeGreaterThanOrEqual(participant.trained ? 0.65 : 0.45);
    expect(participant.thresholds.first).toBeLessThanOrEqual(participant.trained ? 0.85 : 0.65);
    expect(participant.thresholds.second).toBeGreaterThan(participant.thresholds.first + 0.1);
    expect(participant.thresholds.second).toBeLessThan(0.95);
    expect(Math.abs(participant.peakRer - 1.14)).toBeLessThanOrEqual(0.05);
    expect(participant.systolicPerMet).toBeGreaterThanOrEqual(5.1);
    expect(participant.systolicPerMet).toBeLessThanOrEqual(11.5);
    expect(participant.vo2TimeConstant).toBeGreaterThanOrEqual(participant.trained ? 10 : 20);
    expect(participant.vo2TimeConstant).toBeLessThanOrEqual(40);
    expect(Math.abs(participant.heartRateTimeConstant - 57.6)).toBeLessThanOrEqual(23.6);
    expect(Math.abs(participant.economy - 1)).toBeLessThanOrEqual(0.07);
    // Blood pressure at rest below the limit at which the instructor is asked (160/100, a hold of common practice).
    expect(participant.systolicRest).toBeLessThan(140);
    expect(participant.diastolicRest).toBeLessThan(90);
  });

  it.each(rehearsalParticipants)('$code has a first threshold that V-slope can see, and the ventilation of Sun 2002', (participant) => {
    const gas = gasMap(participant);
    // Beaver 1986: slope near or below 1, then above 1, and a change of at least 0.1.
    expect(gas.slopes.below).toBeLessThanOrEqual(1);
    expect(gas.slopes.above).toBeGreaterThan(1.1);
    // Both lines meet: no jump at the threshold.
    expect(gas.vco2(gas.first + 1e-9)).toBeCloseTo(gas.vco2(gas.first), 6);
    expect(gas.vco2(gas.maximum) / gas.maximum).toBeCloseTo(participant.peakRer, 9);
    const lowest = 27.94 + 0.108 * participant.age + (participant.sex === 'female' ? 0.97 : 0) - 0.0376 * participant.height;
    expect(gas.ve(gas.vco2(gas.second)) / gas.vco2(gas.second)).toBeCloseTo(lowest, 9);
    for (const share of [0.3, 0.5, 0.7, 0.8, 0.95, 1]) {
      const output = gas.vco2(share * gas.maximum);
      expect(gas.ve(output) / output).toBeGreaterThanOrEqual(lowest - 1e-9);
    }
    // 42 ± 8 to 51 ± 10 breaths a minute at exhaustion (slow and fast ramps, Exp Physiol 1999): within two of the wider spread.
    const peak = gas.breathing(gas.ve(gas.vco2(gas.maximum)));
    expect(peak.rate).toBeGreaterThan(42 - 2 * 8);
    expect(peak.rate).toBeLessThan(51 + 2 * 10);
  });

  it('give Sun 2002 its printed examples', () => {
    // Lowest VE/VCO2 (Sun 2002) [P], worked outside this program: man, 30 years, 175 cm: 24.60; woman, 50 years, 160 cm: 28.29.
    const like = (sex: 'male' | 'female', age: number, height: number): number => {
      const [model] = rehearsalParticipants;
      if (!model) throw new Error('no participant');
      const gas = gasMap({ ...model, sex, age, height });
      const output = gas.vco2(gas.second);
      return gas.ve(output) / output;
    };
    expect(like('male', 30, 175)).toBeCloseTo(24.6, 2);
    expect(like('female', 50, 160)).toBeCloseTo(28.29, 1);
  });

  it('share constants that each name a source', () => {
    for (const [name, constant] of Object.entries(constants)) {
      expect(constant.source.citation.length, name).toBeGreaterThan(10);
      expect(['P', 'P2', 'M', 'C', 'O'], name).toContain(constant.source.provenance);
      expect(constant.says.length, name).toBeGreaterThan(10);
    }
  });
});

/**
 * Bag analysis through a whole record. Expected: two examples worked outside this program, C2 and C3
 * (constructed there, recomputed in double precision; inspired 0.2093/0.0003, vapour pressure column A). Tolerance: the printed digits.
 */
import { describe, expect, it } from 'vitest';
import { resultsOf } from '../../core/results/results.ts';
import { at, bruceText, SessionBuilder } from '../core/session-builder.ts';

const text = bruceText
  .replace('\nquestions:\n', '\nbag: { inspired: textbook, source: McArdle 8e }\n\nquestions:\n')
  .replace(
    '    - take: [vo2, rer, ve]\n      each: stage',
    '    - take: [bag-volume, bag-time, bag-temperature, feo2, feco2]\n      each: stage',
  );

const start = at('20:00');
function withBag(
  details: Record<string, string>,
  bag: { volume: string; time: string; temperature: string; feo2: string; feco2: string },
): ReturnType<typeof resultsOf> {
  const session = new SessionBuilder('live', text).exercising(start, details);
  session.clock(start + at('3:00')).add('stage-changed', { stage: 2 });
  const moment = start + at('3:20');
  session
    .reading('bag-volume', bag.volume, moment)
    .reading('bag-time', bag.time, moment)
    .reading('bag-temperature', bag.temperature, moment)
    .reading('feo2', bag.feo2, moment)
    .reading('feco2', bag.feco2, moment);
  return resultsOf(session.state);
}

describe('bag analysis', () => {
  it('C2: 62.5 L in 1 min, 22 °C, 752 mmHg, 16.52 and 4.21 %: VO₂ 2.4913, VCO₂ 2.3292, RER 0.9349, VE BTPS 68.214', () => {
    const { bags, stages } = withBag(
      { pressure: '752', mass: '70' },
      { volume: '62.5', time: '60', temperature: '22', feo2: '16.52', feco2: '4.21' },
    );
    const step = (id: string): number => bags[0]?.steps.find((one) => one.id === id)?.value ?? NaN;
    expect(step('factor')).toBeCloseTo(0.89158, 5);
    expect(step('ve-stpd')).toBeCloseTo(55.7235, 3);
    expect(step('vi')).toBeCloseTo(55.8857, 3);
    expect(step('vo2')).toBeCloseTo(2.4913, 4);
    expect(step('vco2')).toBeCloseTo(2.3292, 4);
    expect(step('rer')).toBeCloseTo(0.9349, 4);
    expect(bags[0]?.ve).toBeCloseTo(68.214, 2);
    expect(stages[0]?.vo2Relative).toBeCloseTo(35.591, 2);
  });
  it('C3: 61.2 L in 30 s, 23 °C, 740 mmHg, 17.28 and 4.00 %: VO₂ 3.8075, VCO₂ 4.2398, RER 1.1136', () => {
    const { bags } = withBag(
      { pressure: '740', mass: '68' },
      { volume: '61.2', time: '30', temperature: '23', feo2: '17.28', feco2: '4.00' },
    );
    expect(bags[0]?.vo2).toBeCloseTo(3.8075, 4);
    expect(bags[0]?.vco2).toBeCloseTo(4.2398, 4);
    expect(bags[0]?.rer).toBeCloseTo(1.1136, 4);
  });
  it('says what is missing', () => {
    const session = new SessionBuilder('live', text).exercising(start);
    session.clock(start + at('3:00')).add('stage-changed', { stage: 2 });
    session.reading('bag-volume', '62.5', start + at('3:20'));
    expect(resultsOf(session.state).bags[0]?.reason).toContain('expired oxygen');
  });
});

/** Lab sheets of other modes, made from the treadmill sheet, for as long as and beside the shipped ones. */
import { parse, stringify } from 'yaml';
import { bruceText } from './session-builder.ts';

type Loose = Record<string, unknown>;

function other(id: string, change: (sheet: Loose) => Loose): string {
  const sheet = parse(bruceText) as Loose;
  const questions = (sheet.questions as Loose[]).filter(({ kind }) => kind === 'written');
  const results = { ...(sheet.results as Loose) };
  delete results['treadmill-time'];
  return stringify(change({ ...sheet, id, title: id, questions, marks: questions.reduce((sum, { marks }) => sum + Number(marks), 0), results }));
}

/** Four loads of three minutes on the cycle, each held until the heart rate is steady; ends at the cap or after the last. */
export const cycleText = other('cycle-for-rehearsal', (sheet) => ({
  ...sheet,
  mode: 'cycle',
  kind: 'submaximal',
  stages: {
    length: '3:00',
    timing: 'from-change',
    source: 'made for this test',
    'steady-state': { within: 5, source: 'made for this test' },
    list: [{ load: '25 W' }, { load: '75 W' }, { load: '100 W' }, { load: '125 W' }],
  },
  'predicted-vo2': { formula: 'leg-vo2-acsm', source: 'made for this test' },
  'heart-rate-cap': { text: '85 % of predicted maximum', formula: 'hr-max-tanaka-2001', fraction: 0.85, source: 'made for this test' },
  recovery: { ...(sheet.recovery as Loose), plan: [{ posture: 'cycling', until: '3:00', text: 'Pedal on', settings: { load: '25 W' } }, { posture: 'sitting', until: '30:00', text: 'Sit' }] },
}));

/** One stage of stepping. */
export const stepText = other('step-for-rehearsal', (sheet) => ({
  ...sheet,
  mode: 'step',
  kind: 'submaximal',
  stages: { length: '3:00', timing: 'on-plan', source: 'made for this test', list: [{ 'step-rate': '24 /min', 'step-height': '30 cm' }] },
  'predicted-vo2': { formula: 'step-vo2-acsm', source: 'made for this test' },
  recovery: { ...(sheet.recovery as Loose), plan: [{ posture: 'sitting', until: '30:00', text: 'Sit' }] },
}));

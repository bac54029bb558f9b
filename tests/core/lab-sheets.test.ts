/** Every shipped lab sheet: it loads without a remark, is complete from cautions to questions, and says where things come from. */
import { describe, expect, it } from 'vitest';
import { questionRows } from '../../core/worksheet/rows.ts';
import { plannedSettings } from '../../core/session/stages.ts';
import { mostStages } from '../../core/sheet/stage-plan.ts';
import { loadSheet } from '../../core/sheet/load.ts';
import { loaded, sheetIds, textOf } from './lab-sheets.ts';

describe('the seven lab sheets', () => {
  it('are there', () =>
    expect(sheetIds).toEqual(['cycle-bag-efficiency', 'cycle-ramp-maximal', 'cycle-single-load-age-factor', 'cycle-submaximal-branching', 'field-walk-one-mile', 'step-test-queens-college', 'treadmill-maximal-bruce']));

  describe.each(sheetIds)('%s', (id) => {
    const { sheet, warnings } = loaded(id);
    it('is clean, and named as its file', () => {
      expect(warnings).toEqual([]);
      expect(sheet.id).toBe(id);
    });
    it('is complete, each part with its source', () => {
      for (const list of [sheet.objectives, sheet.cautions, sheet['who-may-take-part'], sheet.contraindications.list, sheet.stop.list, sheet.recovery.criteria]) expect(list.length).toBeGreaterThanOrEqual(3);
      expect(sheet.cautions.join(' ')).toMatch(/does not diagnose/);
      expect(sheet.checks.filter((check) => check.hold === 'never').map((check) => check.id)).toEqual(['emergency-plan', 'instructor-present']);
      for (const source of [sheet.contraindications.source, sheet.stages.source, sheet.stop.source, sheet.recovery.source]) expect(source.length).toBeGreaterThan(20);
      for (const check of sheet.checks) expect(check.source ?? check.value?.source, check.id).toBeTruthy();
      for (const criterion of sheet.recovery.criteria) expect(criterion.source, criterion.id).toBeTruthy();
      expect(sheet.stop.reasons.some((reason) => reason.symptom)).toBe(true);
    });
    it('asks about ten questions for 50 marks, one in writing with its rubric, some built on others', () => {
      expect(sheet.questions.length).toBeGreaterThanOrEqual(10);
      expect(sheet.questions.length).toBeLessThanOrEqual(14);
      expect(sheet.questions.reduce((sum, question) => sum + question.marks, 0)).toBe(50);
      expect(sheet.questions.some((question) => question.kind === 'written' && question.rubric.length >= 4)).toBe(true);
      const chained = sheet.questions.filter((question) => 'answer' in question && 'with' in question.answer && Object.values(question.answer.with ?? {}).some((value) => String(value).startsWith('answer.')));
      expect(chained.length).toBeGreaterThanOrEqual(1);
    });
    it('has rows for every question before a test was run, or none', () => {
      for (const question of sheet.questions) expect(() => questionRows(question, new Map())).not.toThrow();
    });
  });
});

describe('what the sheets need of the form', () => {
  it('a setting for each sex is planned for the participant’s own, and left open without it', () => {
    const { sheet } = loaded('step-test-queens-college');
    const [stage] = sheet.stages.list;
    expect(plannedSettings(stage, 'male')['step-rate']?.value).toBe(24);
    expect(plannedSettings(stage, 'female')['step-rate']?.value).toBe(22);
    expect(plannedSettings(stage)['step-rate']).toBeUndefined();
    // 16.25 in are 41.275 cm.
    expect(plannedSettings(stage)['step-height']?.value).toBeCloseTo(41.275, 9);
  });
  it('a branch has as many stages as its longest band', () => {
    expect(mostStages(loaded('cycle-submaximal-branching').sheet)).toBe(4);
    expect(mostStages(loaded('cycle-single-load-age-factor').sheet)).toBe(2);
  });

  const problems = (id: string, change: (text: string) => string): readonly string[] => {
    const changed = change(textOf(id));
    expect(changed).not.toBe(textOf(id));
    const read = loadSheet(changed, 'x.yaml');
    return read.ok ? [] : read.problems.map((problem) => `${problem.path}: ${problem.message}; ${problem.remedy}`);
  };
  it.each([
    ['step-test-queens-college', (text: string) => text.replace('required: [participant-code, sex, ', 'required: [participant-code, '), /the stages differ by sex/],
    ['step-test-queens-college', (text: string) => text.replace('female: 22 /min', 'female: 22 W'), /'22 W' is not a step rate/],
    ['cycle-single-load-age-factor', (text: string) => text.replace('male: 600 kg·m/min, female: 450 kg·m/min', 'male: 100 W, female: 450 kg·m/min'), /different units/],
    ['cycle-single-load-age-factor', (text: string) => text.replace(/then:\n\s+- \{ load: \{ male: 900.*\n/, 'then: []\n'), /no band has a stage to go on with/],
    ['cycle-submaximal-branching', (text: string) => text.replace('solve-for: load', 'solve-for: laod'), /cannot be solved for 'laod'; did you mean "load"\?/],
    ['cycle-submaximal-branching', (text: string) => text.replace('with: { output: answer.target-vo2, mass', 'with: { mass'), /needs output/],
    ['cycle-submaximal-branching', (text: string) => text.replace('answer.hr-max − 10 /min', 'answer.hr-max − 10 kg'), /cannot be added to a value in \/min/],
    ['cycle-submaximal-branching', (text: string) => text.replace('answer.stage-vo2/line-first', 'answer.stage-vo2'), /"stage-vo2" has several rows; name one/],
    ['cycle-submaximal-branching', (text: string) => text.replace('answer.stage-vo2/line-first', 'answer.stage-vo2/first'), /"stage-vo2" has no row "first"/],
    ['cycle-submaximal-branching', (text: string) => text.replace('maximum: line.vo2max', 'maximum: line.vo2mx'), /is nothing that this sheet works out; did you mean "line.vo2max"\?/],
    ['cycle-submaximal-branching', (text: string) => text.replace('    sessions: 3\n', ''), /a week needs both minutes and sessions/],
    ['cycle-bag-efficiency', (text: string) => text.replace(/^bag:[\s\S]*?\n\n/m, ''), /does not say which air was breathed in/],
    ['cycle-bag-efficiency', (text: string) => text.replace('stage.3.bag.feo2 + 0.1 %', 'stage.bag.feo2 + 0.1 %'), /has a meaning only in a table over the completed stages; name the stage, for example stage\.2\.bag\.feo2/],
    ['step-test-queens-college', (text: string) => text.replace(/^pulse-count:[\s\S]*?\n\n/m, ''), /does not say for how long/],
    ['field-walk-one-mile', (text: string) => text.replace(', finished: true', ''), /no reason says that the distance was covered/],
    ['field-walk-one-mile', (text: string) => text.replace('distance: 1 mile', 'distance: 1 mph'), /'1 mph' is not a distance/],
    ['field-walk-one-mile', (text: string) => text.replace('by: { mode: walk, speed: 90 m/min }', 'by: { mode: walk, speed: 90 m/min, grade: 2 % }'), /either the speed or the grade/],
  ])('%s, broken: %#', (id, change, says) => {
    expect(problems(id, change).join('\n')).toMatch(says);
  });
});

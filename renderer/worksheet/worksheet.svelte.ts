/** A student's worksheet on a closed session: its questions, answers, what is still empty, and the export. */
import { guidelineCategories } from '../../core/norms/norms.ts';
import { categoryId } from '../../core/results/book.ts';
import { resultsOf, type Results } from '../../core/results/results.ts';
import type { Question } from '../../core/sheet/schema.ts';
import type { SessionState } from '../../core/session/state.ts';
import { isUnitCode, unitOf } from '../../core/units/units.ts';
import { countedAttempts, mayShowFeedback } from '../../core/worksheet/attempts.ts';
import { answerKey, standingAnswer } from '../../core/worksheet/fold.ts';
import type { QuestionMark } from '../../core/worksheet/marking-types.ts';
import { markQuestion } from '../../core/worksheet/marking.ts';
import { CONCLUSION, questionRows } from '../../core/worksheet/rows.ts';
import type { App } from '../app/app.svelte.ts';
import { shelfOf } from '../gas/shelf.svelte.ts';
import type { WorksheetFeed } from '../app/record-feed.svelte.ts';
import { Answer } from './answer.svelte.ts';

/** A number may be half typed for a while; a text grows for longer. */
const PAUSE = { number: 3_000, words: 2_000 } as const;

export interface AnswerRow {
  readonly id?: string;
  readonly label: string;
  readonly answer: Answer;
  /** What can be chosen, for a judgement. */
  readonly choices: readonly { readonly id: string; readonly label: string }[];
}

export interface QuestionView {
  readonly number: number;
  readonly question: Question;
  /** The unit as people read it; empty for a bare number. */
  readonly unit: string;
  readonly rows: readonly AnswerRow[];
  readonly choices: readonly { readonly id: string; readonly label: string }[];
  /** Why the question has no answer on this record; its marks leave the total. */
  readonly void?: string;
}

export class WorksheetPage {
  readonly #app: App;
  readonly #feed: WorksheetFeed;
  readonly #session: () => SessionState;
  readonly questions: readonly QuestionView[];
  readonly results: Results;

  readonly state = $derived.by(() => this.#feed.state);
  readonly student = $derived(this.state?.student ?? '');
  readonly handedIn = $derived(this.state?.handedIn !== undefined);
  readonly asked = $derived.by(() => this.questions.filter((view) => view.void === undefined));
  readonly empty = $derived.by(() => this.asked.filter((view) => !isAnswered(view)));
  readonly answered = $derived.by(() => this.asked.length - this.empty.length);
  readonly allSaved = $derived.by(() => this.questions.every((view) => view.rows.every((row) => row.answer.isSaved)));

  paper = $state<'A4' | 'Letter'>('A4');
  exporting = $state<'pdf' | 'json' | undefined>(undefined);
  exported = $state.raw<{ readonly ok: boolean; readonly text: string; readonly where?: string } | undefined>(undefined);

  constructor(app: App, session: () => SessionState, feed: WorksheetFeed) {
    this.#app = app;
    this.#session = session;
    this.#feed = feed;
    // A closed session no longer changes, and a file that is joined to it makes this page anew: its results are worked out once.
    this.results = resultsOf(session(), shelfOf(app.station.api).text);
    this.questions = session().sheet.questions.map((question, index) => this.#view(question, index + 1));
  }

  /**
   * Marks and reason of a question, where the lab sheet lets the student see them now. They are by the sheet on this station; the
   * instructor's key decides.
   */
  markOf(view: QuestionView): QuestionMark | undefined {
    const session = this.#session();
    const { state } = this;
    if (state === undefined || view.void !== undefined || view.question.kind === 'written') return undefined;
    const answered = view.rows.some((row) => {
      const given = state.answers.get(answerKey(view.question.id, row.id))?.current;
      return given !== undefined && given.draft !== true && given.typed.trim() !== '';
    });
    if (!answered || !mayShowFeedback(session.sheet, state, answered)) return undefined;
    const input = { sheet: session.sheet, book: this.results.book, worksheet: state };
    return markQuestion(view.question, view.number, countedAttempts(input, markQuestion));
  }

  async saveAll(): Promise<void> {
    await Promise.all(this.questions.flatMap((view) => view.rows.map((row) => row.answer.save())));
  }

  /** Hands the worksheet in: saves what is open, notes the moment, and gives the file to the person. */
  async export(as: 'pdf' | 'json'): Promise<void> {
    if (this.exporting !== undefined) return;
    this.exporting = as;
    this.exported = undefined;
    this.exported = await this.#export(as);
    this.exporting = undefined;
  }

  async #export(as: 'pdf' | 'json'): Promise<NonNullable<typeof this.exported>> {
    await this.saveAll();
    if (!this.allSaved) return { ok: false, text: 'Some answers could not be saved; they say why. Nothing was exported.' };
    const noted = await this.#feed.append(this.student, { kind: 'worksheet-handed-in', data: { wall: '' } }); // the station writes the time
    if (!noted.ok) return { ok: false, text: noted.error.message };
    const file = await this.#app.station.api.call('worksheet.export', { worksheet: this.#feed.id, as, paper: this.paper });
    if (!file.ok) return { ok: false, text: file.error.message };
    const saved = await this.#app.saveFile(file.value);
    if (!saved.ok) return { ok: false, text: saved.error.message };
    if (!saved.value.saved) return { ok: false, text: 'The file was not saved. The worksheet is kept on the station; export it again at any time.' };
    return { ok: true, text: file.value.name, where: saved.value.where ?? 'in the folder for downloads' };
  }

  #view(question: Question, number: number): QuestionView {
    const session = this.#session();
    const { book } = this.results;
    const nothing = markQuestion(question, number, { sheet: session.sheet, book, worksheet: emptyWorksheet });
    const unit = 'unit' in question && isUnitCode(question.unit) ? unitOf(question.unit).label : '';
    const rows = questionRows(question, book).map((row): AnswerRow => ({
      ...(row.id === undefined ? {} : { id: row.id }),
      label: row.label ?? question.title,
      choices: question.kind !== 'judgement' ? [] : row.id === CONCLUSION ? conclusions : judgements,
      answer: this.#answer(question, row.id),
    }));
    return {
      number,
      question,
      unit,
      rows,
      choices: question.kind === 'choice' ? (question.choices ?? guidelineCategories.names.map((name) => ({ id: categoryId(name), label: name }))) : [],
      ...(nothing.verdict === 'void' ? { void: nothing.reason } : {}),
    };
  }

  #answer(question: Question, row: string | undefined): Answer {
    return new Answer({
      pause: question.kind === 'written' ? PAUSE.words : PAUSE.number,
      standing: () => (this.state ? standingAnswer(this.state, question.id, row) : undefined),
      write: (answer) => this.#feed.append(this.student, { kind: 'answer-given', data: { question: question.id, ...(row === undefined ? {} : { row }), ...answer } }),
    });
  }
}

/** Marked only to learn which questions are void on this record. */
const emptyWorksheet = { id: '', session: '', sessionHead: '', student: '', openedWall: '', length: 0, answers: new Map() };

const judgements = [
  { id: 'met', label: 'met' },
  { id: 'not-met', label: 'not met' },
  { id: 'cannot-be-judged', label: 'cannot be judged' },
];
const conclusions = [
  { id: 'max', label: 'VO₂max' },
  { id: 'peak', label: 'VO₂peak' },
];

function isAnswered(view: QuestionView): boolean {
  return view.rows.length > 0 && view.rows.every((row) => !row.answer.isEmpty);
}
export { isAnswered };

/**
 * The published three-question logic of pre-participation screening, as a table to look at. It says what the publication
 * gives; the instructor decides. No answer to its questions is ever stored.
 *
 * Source: Riebe D et al. 2015, Med Sci Sports Exerc 47:2473, "Updating ACSM's recommendations for exercise preparticipation
 * health screening", kept in ACSM's Guidelines 10th to 12th editions; in own words [P: public
 * reproductions agree on all six cells, the activity rule and the 12-month rule].
 */

/** Planned, at least 30 minutes of moderate exercise on 3 or more days a week, for the last 3 months. */
export type Activity = 'active' | 'not-active';
/** Known disease of heart and vessels, metabolism (diabetes) or kidneys; and signs or symptoms of one. */
export type Health = 'none' | 'known-disease' | 'signs-or-symptoms';

export const screeningSource = 'Riebe et al. 2015, Med Sci Sports Exerc 47:2473 (ACSM pre-participation screening), in own words';

export const activityRows: readonly { readonly id: Activity; readonly label: string }[] = [
  { id: 'active', label: 'Exercises regularly' },
  { id: 'not-active', label: 'Does not' },
];
export const healthColumns: readonly { readonly id: Health; readonly label: string }[] = [
  { id: 'none', label: 'No disease, no sign or symptom' },
  { id: 'known-disease', label: 'Known disease, no sign or symptom' },
  { id: 'signs-or-symptoms', label: 'Any sign or symptom' },
];

const cells: Readonly<Record<Activity, Readonly<Record<Health, string>>>> = {
  active: {
    none: 'No medical clearance. Moderate or vigorous exercise may go on.',
    'known-disease': 'No clearance for moderate exercise. Before vigorous exercise: clearance within the last 12 months, and no change since.',
    'signs-or-symptoms': 'Stop exercising and seek medical clearance.',
  },
  'not-active': {
    none: 'No medical clearance. Begin with light to moderate exercise and progress slowly.',
    'known-disease': 'Medical clearance recommended; then light to moderate exercise.',
    'signs-or-symptoms': 'Medical clearance recommended first.',
  },
};

/** What the published logic gives for the two answers. */
export function publishedAdvice(activity: Activity, health: Health): string {
  return cells[activity][health];
}

/**
 * What that means for a maximal test, which is vigorous exercise: common practice [C] of teaching laboratories,
 * for the instructor to follow or not.
 */
export function forMaximalTest(activity: Activity, health: Health): string {
  if (health === 'signs-or-symptoms') return 'No test today.';
  if (health === 'known-disease') return activity === 'active' ? 'Only with clearance within the last 12 months and no change since; else no test today.' : 'No test today; clearance first.';
  return activity === 'active' ? 'A maximal test agrees with it.' : 'A submaximal test instead, unless the instructor decides otherwise.';
}

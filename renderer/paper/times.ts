/** Where a paper sheet lies in session time. It has no clock of its own; only the distances matter. */
export const REST_BEGINS = 10 * 60_000;
export const EXERCISE_BEGINS = 30 * 60_000;

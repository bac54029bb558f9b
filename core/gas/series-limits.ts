/** Characters of a kept series, in a file of its own for what only checks sizes. One hour of breaths in twelve columns is about a third of a million. */
export const LARGEST_SERIES = 8_000_000;

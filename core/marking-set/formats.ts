/** Names of the forms in which a set's things are written. */
export const setFormats = {
  /** A whole set for another marker. */
  set: 'stagecall-marking-set/1',
  /** Marks as data. */
  marks: 'stagecall-set-marks/1',
  /** An answer key apart from the lab sheet. */
  key: 'stagecall-answer-key/1',
} as const;

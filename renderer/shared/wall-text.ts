/** Wall times for people. The record keeps its own form, ISO 8601 with offset. */
const sameDay = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' });
const otherDay = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' });
const otherYear = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric' });

/** "today, 10:42", "3 Mar, 10:42" or "3 Mar 2025"; what cannot be read is given back as it is. */
export function wallText(iso: string, now: Date = new Date()): string {
  const moment = new Date(iso);
  if (Number.isNaN(moment.getTime())) return iso;
  if (moment.toDateString() === now.toDateString()) return `today, ${sameDay.format(moment)}`;
  return moment.getFullYear() === now.getFullYear() ? otherDay.format(moment) : otherYear.format(moment);
}

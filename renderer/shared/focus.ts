/** Where the keyboard is, and where it goes next. */

/** Whether keys typed at this target go into text. */
export function isEdited(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target.isContentEditable || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement) return true;
  return target instanceof HTMLInputElement && !['checkbox', 'radio', 'button', 'file'].includes(target.type);
}

/** What stands beside the way is reached by Tab alone. */
const stops = 'input:not([type="hidden"], [data-aside]), select:not([data-aside]), textarea, button[data-step]';

/**
 * Moves on from one field to the next inside the nearest `[data-form]`, as Enter does on a sheet that is filled in by keyboard.
 * @returns false at the last field.
 */
export function moveOn(from: Element, by: 1 | -1 = 1): boolean {
  const form = from.closest('[data-form]');
  if (!form) return false;
  const fields = [...form.querySelectorAll<HTMLElement>(stops)].filter((field) => isReachable(field) || field === from);
  const next = fields[fields.indexOf(from as HTMLElement) + by];
  if (!next) return false;
  next.focus();
  if (next instanceof HTMLInputElement && isEdited(next)) next.select();
  return true;
}

/** Of a group of radio buttons only the chosen one, or the first, is a stop; as with Tab. */
function isReachable(field: HTMLElement): boolean {
  if (field.hasAttribute('disabled') || field.tabIndex < 0 || field.offsetParent === null) return false;
  if (!(field instanceof HTMLInputElement) || field.type !== 'radio') return true;
  const group = [...(field.closest('[data-form]')?.querySelectorAll<HTMLInputElement>('input[type="radio"]') ?? [])].filter((other) => other.name === field.name);
  const chosen = group.find((other) => other.checked) ?? group[0];
  return chosen === field;
}

/** Moves the focus up and down a list of rows whose buttons carry `data-row`. For `onkeydown` of the list. */
export function walkRows(event: KeyboardEvent): void {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const list = event.currentTarget as HTMLElement;
  const rows = [...list.querySelectorAll<HTMLElement>('[data-row]')];
  const at = rows.indexOf(event.target as HTMLElement);
  if (at < 0) return;
  const to = event.key === 'ArrowDown' ? at + 1 : event.key === 'ArrowUp' ? at - 1 : event.key === 'Home' ? 0 : event.key === 'End' ? rows.length - 1 : undefined;
  const row = to === undefined ? undefined : rows[to];
  if (to === undefined) return;
  event.preventDefault();
  row?.focus();
}

/** Puts the focus on an element when it is shown: `{@attach focusNow}`. */
export function focusNow(element: HTMLElement): void {
  element.focus();
}

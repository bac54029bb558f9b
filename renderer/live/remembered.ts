/** What this window remembers for the next time; a window without storage works and only forgets. */
export function recall(name: string): string | undefined {
  try {
    return localStorage.getItem(`stagecall-${name}`) ?? undefined;
  } catch {
    return undefined;
  }
}

export function remember(name: string, value: string): void {
  try {
    localStorage.setItem(`stagecall-${name}`, value);
  } catch {
    // It is forgotten when the window closes.
  }
}

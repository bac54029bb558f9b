/** For preparing a test: waits until something is so, or says that it never was. (Inside a test, `expect.poll` tells more.) */
export async function until(what: string, isSo: () => boolean | Promise<boolean>, withinMs = 20_000): Promise<void> {
  const end = performance.now() + withinMs;
  while (!(await isSo())) {
    if (performance.now() > end) throw new Error(`${what}: not within ${withinMs} ms`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

export function insist(so: boolean, what: string): void {
  if (!so) throw new Error(what);
}

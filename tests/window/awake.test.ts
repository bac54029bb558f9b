import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Awake } from '../../renderer/live/awake.svelte.ts';

/** A page that can be hidden, and a browser that grants or refuses. */
class Browser extends EventTarget {
  visibilityState = 'visible';
  grants = true;
  readonly locks: EventTarget[] = [];
  held = 0;
  readonly asked: string[] = [];
  readonly wakeLock = {
    request: async (kind: string): Promise<EventTarget> => {
      this.asked.push(kind);
      if (!this.grants) throw new DOMException('not now', 'NotAllowedError');
      const lock = new EventTarget();
      this.held += 1;
      this.locks.push(lock);
      return Object.assign(lock, {
        release: async () => {
          this.held -= 1;
          lock.dispatchEvent(new Event('release'));
        },
      });
    },
  };
  /** The browser takes its lock away, as it does with a window out of sight. */
  hide(): void {
    this.visibilityState = 'hidden';
    this.held -= 1;
    this.locks.at(-1)?.dispatchEvent(new Event('release'));
    this.dispatchEvent(new Event('visibilitychange'));
  }
  show(): void {
    this.visibilityState = 'visible';
    this.dispatchEvent(new Event('visibilitychange'));
  }
}

let browser: Browser;
beforeEach(() => {
  browser = new Browser();
  vi.stubGlobal('document', browser);
  vi.stubGlobal('navigator', browser);
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});
const settled = (): Promise<unknown> => vi.advanceTimersByTimeAsync(0);

describe('the screen is kept awake', () => {
  it('while it is wanted, once, and let go afterwards', async () => {
    const awake = new Awake();
    awake.want(false);
    await settled();
    expect(browser.held).toBe(0);
    awake.want(true);
    awake.want(true);
    await settled();
    expect(browser.held).toBe(1);
    expect(browser.asked).toEqual(['screen']);
    expect(awake.refused).toBeUndefined();
    awake.want(false);
    await settled();
    expect(browser.held).toBe(0);
    expect(browser.locks).toHaveLength(1);
  });

  it('again when the window is seen again', async () => {
    const awake = new Awake();
    awake.want(true);
    await settled();
    browser.hide();
    await settled();
    expect(browser.held).toBe(0);
    browser.show();
    await settled();
    expect(browser.held).toBe(1);
    awake.close();
    await settled();
    expect(browser.held).toBe(0);
    browser.show();
    await settled();
    expect(browser.held).toBe(0);
  });

  it('or it is said that it is not, until it is', async () => {
    browser.grants = false;
    const awake = new Awake();
    awake.want(true);
    await settled();
    expect(awake.refused).toContain('may go dark');
    browser.grants = true;
    await vi.advanceTimersByTimeAsync(6_000);
    expect(awake.refused).toBeUndefined();
    expect(browser.held).toBe(1);
  });

  it('says so too where the browser cannot do it at all, and says nothing once it is not wanted', async () => {
    vi.stubGlobal('navigator', {});
    const awake = new Awake();
    awake.want(true);
    await settled();
    expect(awake.refused).toBeDefined();
    awake.want(false);
    expect(awake.refused).toBeUndefined();
  });
});

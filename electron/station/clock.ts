/** The machine's clocks, as the station reads them. Tests hand in their own; nothing else in `electron/station` reads a clock. */
import { execFileSync } from 'node:child_process';
import { openSync, readFileSync, readSync } from 'node:fs';

export interface Clock {
  /** Counts up whatever is done to the wall clock; its start is of no meaning. Nanoseconds. */
  monotonicNs(): bigint;
  /** Milliseconds since 1970. May jump. */
  wallMs(): number;
  /** Which start of the machine `monotonicNs` counts from; undefined where the system does not say. */
  bootId(): string | undefined;
  /**
   * Milliseconds that the machine has slept since it was started, good to some tens of milliseconds, where `monotonicNs`
   * leaves sleep out (Linux). 0 where it counts sleep itself; undefined where sleep cannot be told.
   */
  sleptMs(): number | undefined;
}

/** Smaller differences between the two counters are the grain of `/proc/uptime` (10 ms) and of a busy machine, not sleep. */
export const SLEEP_GRAIN_MS = 500;

export function systemClock(): Clock {
  const boot = readBootId();
  return {
    monotonicNs: () => process.hrtime.bigint(),
    wallMs: () => Date.now(),
    bootId: () => boot,
    sleptMs: process.platform === 'linux' ? sleepOnLinux() : () => 0,
  };
}

/**
 * Linux: CLOCK_MONOTONIC (what `hrtime` reads) stands still while the machine sleeps, CLOCK_BOOTTIME (what `/proc/uptime`
 * shows) does not; the difference is the time slept. macOS (`mach_continuous_time`) and Windows (the performance
 * counter) count sleep in `hrtime` itself, as their documentation has it; not tried here.
 */
function sleepOnLinux(): () => number | undefined {
  let file: number;
  try {
    file = openSync('/proc/uptime', 'r');
  } catch {
    return () => undefined; // without /proc a sleep shows as a jump of the wall clock only
  }
  const text = Buffer.alloc(40);
  return () => {
    // Read anew at each call, from its beginning: the kernel makes the text when it is asked.
    const length = readSync(file, text, 0, text.length, 0);
    const uptime = Number(text.toString('latin1', 0, length).split(' ', 1)[0]) * 1000;
    const awake = Number(process.hrtime.bigint() / 1_000_000n);
    return Number.isFinite(uptime) ? Math.max(0, uptime - awake) : undefined;
  };
}

/**
 * The system's own mark of this start of the machine. Linux: the kernel's random boot id. macOS: the boot session's UUID.
 * Windows: the counter of starts that the system keeps. (The latter two from documentation; not tried here.) Where none
 * can be read, every restart of the station is bridged by the wall clock, as after a reboot.
 */
function readBootId(): string | undefined {
  try {
    if (process.platform === 'linux') return readFileSync('/proc/sys/kernel/random/boot_id', 'latin1').trim();
    if (process.platform === 'darwin') return asked('/usr/sbin/sysctl', ['-n', 'kern.bootsessionuuid']);
    if (process.platform === 'win32') {
      const key = 'HKLM\\SYSTEM\\CurrentControlSet\\Control\\Session Manager\\Memory Management\\PrefetchParameters';
      return /BootId\s+REG_DWORD\s+(\S+)/.exec(asked('reg', ['query', key, '/v', 'BootId']) ?? '')?.[1];
    }
  } catch {
    // falls through
  }
  return undefined;
}

function asked(program: string, args: readonly string[]): string | undefined {
  const text = execFileSync(program, [...args], { encoding: 'utf8', timeout: 2000, stdio: ['ignore', 'pipe', 'ignore'] }).trim();
  return text === '' ? undefined : text;
}

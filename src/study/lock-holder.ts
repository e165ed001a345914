import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';

/** A process that works in a folder. */
export interface Holder {
  readonly host: string;
  readonly pid: number;
  /** When the process began, in the system's own count; null where the system does not tell */
  readonly began: string | null;
  /** For people */
  readonly since: string;
}

/** This process. */
export function self(): Holder {
  const { pid } = process;
  return { host: hostname(), pid, began: beganAt(pid), since: new Date().toISOString() };
}

/** The process that stands in a lock; undefined where nothing of the kind does. */
export function holderOf(text: string): Holder | undefined {
  try {
    const { host, pid, began, since } = JSON.parse(text) as Partial<Holder>;
    if (typeof host !== 'string' || typeof pid !== 'number') return undefined;
    return { host, pid, began: began ?? null, since: since ?? '' };
  } catch {
    return undefined;
  }
}

/** Whether a process of this host is there. */
export function isRunning({ pid, began }: Holder): boolean {
  // The number of a process is given again, in a container soon: to us, or to a stranger.
  if (began !== null && beganAt(pid) !== began) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** When a process began, in ticks since the system did; null where there is no /proc, or no process. */
function beganAt(pid: number): string | null {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, 'utf8');
    // The second field is the program's name, which may hold blanks and parentheses.
    return text.slice(text.lastIndexOf(')') + 2).split(' ')[19] ?? null;
  } catch {
    return null;
  }
}

/** For people. */
export function worded(holder: Holder | undefined): string {
  if (holder === undefined) return 'other processes that take it at this moment';
  return `process ${holder.pid} on ${holder.host}, which works in it since ${holder.since}`;
}

import { useSyncExternalStore } from 'react';

const listeners = new Set<() => void>();
let now = Date.now();
let timer: ReturnType<typeof setInterval> | undefined;

function tick() {
  now = Date.now();
  for (const listener of listeners) listener();
}

function subscribe(listener: () => void) {
  listeners.add(listener);
  timer ??= setInterval(tick, 15_000);
  return () => {
    listeners.delete(listener);
    if (listeners.size === 0) {
      clearInterval(timer);
      timer = undefined;
    }
  };
}

function read() {
  // The first reader after a quiet time must not be shown an old "now".
  if (listeners.size === 0 && Date.now() - now > 1000) now = Date.now();
  return now;
}

/** The current time in milliseconds, renewed every 15 seconds for all pages at once. */
export function useNow(): number {
  return useSyncExternalStore(subscribe, read);
}

import type { Millis } from '../../schemas/units.ts'

/** This process's waiting. Nothing here keeps a process alive that has nothing else to do. */
export function machineTimer() {
  return {
    soon: (act: () => void): void => void setImmediate(act),
    after(ms: Millis, act: () => void) {
      const timeout = setTimeout(act, ms)
      return { cancel: () => clearTimeout(timeout) }
    },
  }
}

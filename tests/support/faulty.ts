/** One call that goes wrong. */
export interface Fault {
  /** Of the port; a port that is a function by itself has the method `call`. */
  readonly method: string
  /** The first call is 1. */
  readonly nth: number
  /** `forEver`: this call and every one after it, until it is mended. */
  readonly mode: 'once' | 'forEver'
  /** `after`: the work is done, then it throws: the answer is lost. */
  readonly how: 'before' | 'after'
  /** The method promises: the fault is a promise that rejects, as its type says, and not a throw. */
  readonly rejects?: boolean
}

/** What became of a fault. */
export interface Trap extends Fault {
  /** Calls of the method so far, those that failed among them. */
  calls(): number
  hasHappened(): boolean
  /** From now on every call works. */
  mend(): void
  isMended(): boolean
  /** Counts a call, and says whether it is to fail. */
  spring(): boolean
}

/** What a failed call throws: nobody else does. */
export class WantedFault extends Error {
  override name = 'WantedFault'
}

export function trapFor(fault: Fault): Trap {
  let calls = 0
  let hasHappened = false
  let isMended = false
  return {
    ...fault,
    calls: () => calls,
    hasHappened: () => hasHappened,
    mend: () => {
      isMended = true
    },
    isMended: () => isMended,
    spring() {
      calls += 1
      const isHit = fault.mode === 'once' ? calls === fault.nth : calls >= fault.nth
      if (!isHit || isMended) return false
      hasHappened = true
      return true
    },
  }
}

/**
 * The real part, of which one method fails as the trap says. A part that is opened anew within one run is wrapped with
 * the same trap, and the count goes on.
 */
export function failing<Port extends object>(port: Port, trap: Trap): Port {
  return new Proxy(port, {
    get(target, name, receiver) {
      const member: unknown = Reflect.get(target, name, receiver)
      if (name !== trap.method || typeof member !== 'function') return member
      return (...given: unknown[]): unknown => {
        if (!trap.spring()) return Reflect.apply(member, target, given)
        const fault = new WantedFault(`${trap.method} failed at call ${trap.calls()}`)
        if (trap.how === 'before') {
          if (trap.rejects === true) return Promise.reject(fault)
          throw fault
        }
        const came: unknown = Reflect.apply(member, target, given)
        if (!(came instanceof Promise)) throw fault
        return came.then(() => {
          throw fault
        })
      }
    },
  })
}

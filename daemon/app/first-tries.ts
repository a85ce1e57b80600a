import type { Parcel } from '../../schemas/outbox.ts'

export interface FirstTries {
  /** Resolves with the parcel of this key once it is told of; rejects where the outbox stops before. */
  of(key: string): Promise<Parcel>
  tell(parcel: Parcel): void
  /** Nothing will be told of any more; those in `left` are told as they stand. */
  end(left: readonly Parcel[]): void
}

/** Whoever waits for what comes of a parcel's first try. One promise for each key, however many ask. */
export function firstTries(): FirstTries {
  const open = new Map<
    string,
    {
      readonly promise: Promise<Parcel>
      readonly resolve: (parcel: Parcel) => void
      readonly reject: (reason: Error) => void
    }
  >()
  let hasEnded = false

  function tell(parcel: Parcel): void {
    open.get(parcel.key)?.resolve(parcel)
    open.delete(parcel.key)
  }

  return {
    of(key) {
      const known = open.get(key)
      if (known !== undefined) return known.promise
      if (hasEnded) return Promise.reject(stopping())
      const ends: { resolve: (parcel: Parcel) => void; reject: (reason: Error) => void } = {
        resolve() {},
        reject() {},
      }
      const promise = new Promise<Parcel>((resolve, reject) => Object.assign(ends, { resolve, reject }))
      open.set(key, { promise, ...ends })
      return promise
    },
    tell,
    end(left) {
      hasEnded = true
      for (const parcel of left) tell(parcel)
      for (const { reject } of open.values()) reject(stopping())
      open.clear()
    },
  }
}

const stopping = (): Error => new Error('The outbox stopped before this message was tried.')

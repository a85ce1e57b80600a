import { batch, computed, signal, type ReadonlySignal, type Signal } from '@preact/signals'
import type { House, LiveEvent, Tonight } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { Person } from '../../schemas/person.ts'
import { createTell, type Tell } from '../words/tell.ts'
import { isSilence, type Answer, type Ask } from './ask.ts'
import { mustAskAbout, tonightAfter } from './heard.ts'
import { createLive, type Live, type Stream } from './live.ts'
import type { Route } from './route.ts'
import { createTelling, type Telling } from './telling.ts'

/** asking: not known yet · setUp: first start · signedOut · in · unreachable: no answer at all. */
type Door = 'asking' | 'setUp' | 'signedOut' | 'in' | 'unreachable'

/** What the page takes from the browser. */
export interface World {
  readonly ask: Ask
  readonly now: () => number
  readonly openStream: () => Stream
  readonly later: (run: () => void, ms: number) => void
  readonly locale: string
  readonly route: Route
  /** Forgets the last good answers that this browser keeps. */
  readonly forgetKept: () => void
}

interface Undo {
  readonly sentence: string
  /** Null where there is no way back and the sentence says what to do instead. */
  readonly undo: (() => Promise<void>) | null
}

/** Everything that the screens share. */
export interface Page {
  readonly ask: Ask
  readonly tell: Tell
  readonly route: Route
  readonly live: Live
  readonly telling: Telling
  readonly door: ReadonlySignal<Door>
  readonly person: ReadonlySignal<Person | null>
  readonly tonight: ReadonlySignal<Tonight | null>
  readonly household: ReadonlySignal<Household | null>
  readonly practice: ReadonlySignal<{ readonly running: boolean; readonly offered: boolean }>
  /** The daemon's time, ticking each second: ages stay right on a phone whose clock is wrong. */
  readonly now: ReadonlySignal<number>
  /** When anything was last heard, in the daemon's time; null before the first time. */
  readonly heardAt: ReadonlySignal<number | null>
  /** The last live event, for screens that follow more than Tonight. */
  readonly event: ReadonlySignal<LiveEvent | null>
  /** Counts the times that the stream came back after a break: curves fetched before may have holes. */
  readonly returns: ReadonlySignal<number>
  readonly undo: Signal<Undo | null>
  enter(): Promise<void>
  refresh(): Promise<void>
  leave(): Promise<void>
  tick(): void
}

/** How long the first answer may take before the page looks for what it knew last, in ms. */
const firstMs = 4000

/** Lets several live events in a row cause one fetch, in ms. */
const gatherMs = 250

export function createPage(world: World): Page {
  const door = signal<Door>('asking')
  const person = signal<Person | null>(null)
  const tonight = signal<Tonight | null>(null)
  const household = signal<Household | null>(null)
  const practice = signal({ running: false, offered: false })
  const event = signal<LiveEvent | null>(null)
  const returns = signal(0)
  const undo = signal<Undo | null>(null)
  const ahead = signal(0)
  const now = signal(world.now())
  let isRefreshDue = false
  /** Questions are numbered: an answer that comes after a later one's is old news. */
  let asked = 0
  let shown = 0
  /** Values heard while a question is under way; its answer may have been worked out before them. */
  let heardMeanwhile: LiveEvent[] = []
  let underWay = 0

  const ask: Ask = async <T>(...asked: Parameters<Ask>): Promise<Answer<T>> => {
    const answer = await world.ask<T>(...asked)
    if (!answer.ok && answer.problem.status === 401 && door.value === 'in') signOut()
    return answer
  }

  const signOut = (): void => {
    live.close()
    world.forgetKept()
    batch(() => {
      telling.forget()
      door.value = 'signedOut'
      person.value = null
      tonight.value = null
      household.value = null
    })
  }

  const refresh = async (): Promise<void> => {
    asked += 1
    const mine = asked
    if (underWay === 0) heardMeanwhile = []
    underWay += 1
    const practising = ask<{ running: boolean; offered: boolean }>('GET', '/api/practice')
    const [night, home] = await Promise.all([
      ask<Tonight>('GET', '/api/tonight'),
      ask<Household>('GET', '/api/household'),
    ])
    underWay -= 1
    if (!night.ok) {
      if (isSilence(night.problem)) live.noteBroken()
      return
    }
    if (night.keptAt !== undefined) {
      showKept(night.value, night.keptAt, home.ok ? home.value : null)
      return
    }
    live.noteHeard()
    if (person.value === null && door.value === 'in') void identify() // the page began without the daemon
    if (mine < shown) return
    shown = mine
    void practising.then((answer) => {
      if (answer.ok) practice.value = answer.value
    })
    batch(() => {
      ahead.value = night.value.at - world.now()
      now.value = night.value.at
      tonight.value = heardMeanwhile.reduce(tonightAfter, night.value)
      if (home.ok && home.keptAt === undefined) household.value = home.value
    })
  }

  /** What an earlier page was told. Never over what this one has heard itself. */
  const showKept = (night: Tonight, keptAt: number, home: Household | null): void => {
    if (tonight.value !== null) return live.noteBroken()
    batch(() => {
      ahead.value = night.at - keptAt
      now.value = world.now() + ahead.value
      tonight.value = night
      household.value = home
      live.noteKept(keptAt)
    })
  }

  const refreshSoon = (): void => {
    if (isRefreshDue) return
    isRefreshDue = true
    world.later(() => {
      isRefreshDue = false
      void refresh()
    }, gatherMs)
  }

  const live = createLive({
    now: world.now,
    openStream: world.openStream,
    askAnew: refreshSoon,
    onReturn() {
      returns.value += 1
      void telling.refresh()
    },
    onEvent(heard) {
      telling.hear(heard)
      if (heard.kind === 'value' && underWay > 0) heardMeanwhile.push(heard)
      const isNews = tonight.value !== null && mustAskAbout(tonight.value, heard)
      batch(() => {
        if (tonight.value !== null) tonight.value = tonightAfter(tonight.value, heard)
        event.value = heard
      })
      if (isNews || heard.kind === 'tonight' || heard.kind === 'alarm' || heard.kind === 'broker')
        refreshSoon()
    },
  })

  const identify = async (): Promise<Answer<{ readonly person: Person }>> => {
    const me = await ask<{ person: Person }>('GET', '/api/me')
    if (me.ok) {
      person.value = me.value.person
      void telling.refresh()
    }
    return me
  }

  const enter = async (): Promise<void> => {
    const asking = identify()
    const looking = refresh() // at once: who is signed in need not wait for two ways there and back
    const first = await Promise.race([
      asking,
      new Promise<null>((resolve) => world.later(() => resolve(null), firstMs)),
    ])
    if (first === null || first.ok || isSilence(first.problem)) await looking
    const me = tonight.value === null ? await asking : first
    // Without the daemon: the last known state, loudly old; who this is, is asked when the daemon is back
    if (me === null || me.ok || tonight.value !== null) {
      door.value = 'in'
      live.open()
      return
    }
    if (me.problem.status === 401) world.forgetKept()
    const state = await world.ask<{ setUpNeeded: boolean }>('GET', '/api/door')
    if (!state.ok) door.value = 'unreachable'
    else door.value = state.value.setUpNeeded ? 'setUp' : 'signedOut'
  }

  const telling = createTelling(
    ask,
    () => person.value?.role === 'keeper',
    (run) => world.later(run, gatherMs),
  )

  return {
    ask,
    tell: createTell(world.locale),
    route: world.route,
    live,
    telling,
    door,
    person,
    tonight,
    household,
    practice,
    now,
    heardAt: computed(() => (live.heardAt.value === null ? null : live.heardAt.value + ahead.value)),
    event,
    returns,
    undo,
    enter,
    refresh,
    async leave() {
      await world.ask('POST', '/api/sign-out', {})
      signOut()
    },
    tick() {
      now.value = world.now() + ahead.value
      live.tick()
    },
  }
}

/** The household's own settings out of the whole. */
export const houseOf = ({ name, timeZone, night, hemisphere, guidance }: Household): House => ({
  name,
  timeZone,
  night,
  hemisphere,
  guidance,
})

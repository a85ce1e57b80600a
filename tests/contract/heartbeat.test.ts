import { afterEach, beforeEach, expect, test } from 'vitest'
import { machineClock } from '../../daemon/host/clock.ts'
import { startHeartbeat } from '../../daemon/host/heartbeat.ts'
import { millis } from '../../schemas/amounts.ts'
import { keptLog } from '../support/broker-world.ts'
import { type HttpReceiver, startHttpReceiver } from '../support/http-receiver.ts'
import { until } from '../support/until.ts'

let watcher: HttpReceiver
let heart: { stop(): void } | null = null
let log: ReturnType<typeof keptLog>
let isWell = true
beforeEach(async () => {
  watcher = await startHttpReceiver()
  log = keptLog()
  isWell = true
})
afterEach(async () => {
  heart?.stop()
  await watcher.stop()
})

const begin = (url = `${watcher.origin}/beat/key-77aa`) => {
  heart = startHeartbeat({ url, every: millis(40), isWell: () => isWell, clock: machineClock(), log })
}
const beats = () => watcher.requests.length

test('N1: a watcher outside hears a GET without a body at the start and then again and again', async () => {
  begin()
  await until(() => beats() >= 3, 'three beats')
  expect(watcher.requests[0]).toMatchObject({ method: 'GET', path: '/beat/key-77aa' })
  expect(watcher.requests[0]?.body.length).toBe(0)
})

test('N1: while judging does not go on it is silent, so that the watcher complains', async () => {
  begin()
  await until(() => beats() >= 1, 'the first beat')
  isWell = false
  await until(() => watcher.open() === 0 || beats() < 50, 'what is under way')
  const count = beats()
  await new Promise((resolve) => setTimeout(resolve, 200)) // five beats would have come
  expect(beats()).toBeLessThanOrEqual(count + 1)
  isWell = true
  await until(() => beats() > count + 1, 'the next beat')
})

test('an answer that is none, and one again, are each said once, without the address (X4)', async () => {
  watcher.behave({ status: 500 }, { status: 404 }, 'closes')
  begin()
  await until(
    () => log.lines.some((line) => line.includes('hears the heartbeat again')),
    'it to be heard again',
  )
  const said = log.lines.join('\n')
  expect(log.lines.filter((line) => line.includes('does not hear'))).toHaveLength(1)
  expect(said).toContain('it answered with 500')
  expect(said).not.toContain('key-77aa')
})

test('a watcher that hangs gets no second beat on top, and stopping does not wait for it', async () => {
  watcher.behave('holds')
  begin()
  await until(() => beats() === 1, 'the beat that hangs')
  await new Promise((resolve) => setTimeout(resolve, 200))
  expect(beats()).toBe(1)
  heart?.stop()
  await until(() => watcher.open() === 0, 'its connection to close')
})

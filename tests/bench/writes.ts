import { fork } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdtempSync, rmSync, statfsSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { seconds } from '../../schemas/amounts.ts'
import { report } from './report.ts'
import type { Counted, Tried } from './winter.ts'

/** `f_type` of file systems that write to no disk: tmpfs and ramfs (statfs(2)). */
const inMemory = new Set([0x01021994, 0x858458f6])

type Variant = Partial<Omit<Tried, 'folder'>>
/** Twenty sensors at 10 s for a day, committed as the daemon does where nobody waits for an answer. */
const usual: Omit<Tried, 'folder'> = {
  sensors: 20,
  every: seconds(10),
  steps: 'sixteenth',
  commitEvery: seconds(30),
  patience: 'group',
  coldSpellsAnHour: 0,
  hours: 24,
}

/** Bytes written in a day, from the kernel's own counters. */
export async function writes(hours: number): Promise<void> {
  if (!isOnDisk()) return
  await day('sensors that wait for no answer', { hours })
  await day('the same, a cold spell each half hour', { hours, coldSpellsAnHour: 2 })
  await day('QoS 1 through a broker outside', { hours, patience: 'brokerWaits' })
  await day('QoS 1 into the broker inside', { hours, patience: 'sensor' })
  await day('commits of 5 s', { hours, commitEvery: seconds(5) })
}

/** What a reading takes in the file once its hour is folded: the pages of the two tables, their summaries included. */
export async function bytes(hours: number): Promise<void> {
  for (const steps of ['sixteenth', 'hundredth'] as const)
    for (const isCalibrated of [false, true]) {
      const got = await measure({ ...usual, hours, steps, isCalibrated, isUnsynced: true })
      const each = got.foldedBytes / got.folded
      const what = `steps of a ${steps}${isCalibrated ? ', calibrated: raw doubles' : ''}`
      report(`bytes: ${what}, noise 0.05 K, jitter 50 ms (aim 4)`, 'bytes/reading', got.folded, [each])
    }
}

/** The constants of the database and of committing, one or two changed at a time. Not a part of the usual run. */
export async function tuning(hours: number): Promise<void> {
  if (!isOnDisk()) return
  const log = 4_096_000
  for (const pageSize of [1024, 2048, 4096, 8192])
    for (const commitEvery of [5, 10, 30])
      await day(`pages of ${pageSize}, commits of ${commitEvery} s`, {
        hours,
        pageSize,
        autocheckpoint: log / pageSize,
        commitEvery: seconds(commitEvery),
      })
  for (const autocheckpoint of [250, 1000, 4000])
    await day(`pages of 4096, checkpoint each ${autocheckpoint}`, { hours, pageSize: 4096, autocheckpoint })
}

function isOnDisk(): boolean {
  if (!existsSync('/proc/self/io')) {
    console.log('bytes written left out: this system has no /proc/self/io')
    return false
  }
  const { type } = statfsSync(tmpdir())
  if (!inMemory.has(type)) return true
  console.log(`bytes written left out: ${tmpdir()} is in memory; name a disk in TMPDIR`)
  return false
}

async function day(name: string, variant: Variant): Promise<void> {
  const tried = { ...usual, ...variant }
  const got = await measure(tried)
  const aDay = (bytes: number) => ((bytes / 1e6) * 24) / tried.hours
  report(`writes: ${name}, write_bytes (aim 100)`, 'MB/day', got.readings, [aDay(got.writeBytes)])
  console.log(
    `   ${(got.writeBytes / got.readings).toFixed(0)} bytes/reading; handed to write(2) ${aDay(got.wchar).toFixed(0)} MB/day; ${got.commits} commits in ${tried.hours} h, ${got.alarms} alarms, ${got.messages} messages; snapshot ${got.snapshotBytes} characters; file ${(got.fileBytes / 1e6).toFixed(2)} MB; ran ${(got.ms / 1000).toFixed(1)} s`,
  )
}

async function measure(tried: Omit<Tried, 'folder'>): Promise<Counted> {
  const folder = mkdtempSync(join(tmpdir(), 'brumal-bench-'))
  try {
    const child = fork(
      new URL('winter.ts', import.meta.url).pathname,
      [JSON.stringify({ ...tried, folder })],
      { execArgv: ['--import', 'tsx'] },
    )
    const said = once(child, 'message')
    const [code] = (await Promise.race([once(child, 'exit'), said.then(() => once(child, 'exit'))])) as [
      number,
    ]
    if (code !== 0) throw new Error(`the measured process ended with ${code}`)
    return ((await said) as [Counted])[0]
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

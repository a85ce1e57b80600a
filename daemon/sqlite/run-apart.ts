import { type ChildProcess, fork } from 'node:child_process'
import { extname } from 'node:path'
import { fileURLToPath } from 'node:url'
import { seconds } from '../../schemas/amounts.ts'
import type { ChildAnswer } from './copy-child.ts'
import type { CopyAnswer, CopyJob } from './copy-jobs.ts'
import { StorageError } from './storage-error.ts'

/** Does a job on a copy; rejects with the reason of `signal` once that is aborted. */
export type RunCopyJob = <Job extends CopyJob>(job: Job, signal: AbortSignal) => Promise<CopyAnswer<Job>>

/**
 * Does it in a process of its own. A thread would not do: one that is inside of SQLite, or waits for a disk that never
 * answers, cannot be ended before that returns, and Node joins its threads (the four of asynchronous `fs` too) before it
 * exits. A process can be killed, and one that cannot even be killed is left to the system.
 */
export const runApart: RunCopyJob = async <Job extends CopyJob>(job: Job, signal: AbortSignal) => {
  signal.throwIfAborted()
  const child = fork(childPath, [], {
    execArgv: [...loader],
    env: childEnv(),
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  })
  const kill = (): void => void child.kill('SIGKILL')
  // Nothing that is done to a copy keeps the daemon alive, and it leaves nothing running behind.
  child.unref()
  child.channel?.unref()
  process.once('exit', kill)
  try {
    const answer = await answerOf(child, job, signal)
    if (answer.ok) return answer.value as CopyAnswer<Job>
    throw answer.code === null ? new Error(answer.sentence) : new StorageError(answer.code, answer.sentence)
  } finally {
    kill()
    if (signal.aborted) await gone(child)
    process.off('exit', kill)
    if (child.connected) child.disconnect()
  }
}

/** One that is stuck in a disk that hangs is not gone before that lets it. */
const goneWithin = seconds(1)

/** Run from the sources, as in tests, it is TypeScript, which Node takes by the loader that everything there is run by. */
const ending = extname(import.meta.url)
const childPath = fileURLToPath(new URL(`./copy-child${ending}`, import.meta.url))
const loader = ending === '.ts' ? ['--import', 'tsx'] : []

/** What a program needs to run at all; secrets in our settings are nothing to it. */
const passedOn = ['PATH', 'HOME', 'LD_LIBRARY_PATH', 'TMPDIR', 'SQLITE_TMPDIR', 'TZ']

const childEnv = (): NodeJS.ProcessEnv =>
  Object.fromEntries(passedOn.flatMap((name) => (name in process.env ? [[name, process.env[name]]] : [])))

function answerOf(child: ChildProcess, job: CopyJob, signal: AbortSignal): Promise<ChildAnswer> {
  return new Promise((resolve, reject) => {
    const abort = (): void => reject(signal.reason as Error)
    signal.addEventListener('abort', abort, { once: true })
    const end = (settle: () => void): void => {
      signal.removeEventListener('abort', abort)
      settle()
    }
    child.once('message', (answer) => end(() => resolve(answer as ChildAnswer)))
    child.on('error', (cause) => end(() => reject(new Error('The copy could not be begun.', { cause }))))
    child.once('exit', (code, by) =>
      end(() =>
        reject(new Error(`The copy ended before it was done (${by ?? `exit code ${String(code)}`}).`)),
      ),
    )
    child.send(job, (cause) => {
      if (cause !== null) end(() => reject(new Error('The copy could not be begun.', { cause })))
    })
  })
}

async function gone(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return
  await new Promise<void>((resolve) => {
    const limit = setTimeout(resolve, goneWithin)
    child.once('exit', () => {
      clearTimeout(limit)
      resolve()
    })
  })
}

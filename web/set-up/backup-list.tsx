import type { BackupLine } from '../../schemas/keeping.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import { usePage } from '../page/use-page.ts'
import { Age } from '../parts/age.tsx'
import { say } from '../../shared/words/say.ts'

/** As many as one looks through at a glance; the others open on demand. */
const shown = 5

/** Backups, newest first, with age, size and name. */
export function BackupList({ list, zone }: { list: readonly BackupLine[]; zone: string }) {
  const older = list.slice(shown)
  return (
    <>
      <Lines list={list.slice(0, shown)} zone={zone} />
      {older.length > 0 && (
        <details class="more">
          <summary>
            {say('{older} older {part}', { older: older.length, part: older.length === 1 ? 'one' : 'ones' })}
          </summary>
          <Lines list={older} zone={zone} />
        </details>
      )}
    </>
  )
}

function Lines({ list, zone }: { list: readonly BackupLine[]; zone: string }) {
  const { now, tell } = usePage()
  if (list.length === 0) return null
  return (
    <ul class="things backups">
      {list.map(({ name, at, bytes }) => (
        <li key={name}>
          <p>
            <strong>{tell.when(at, now.value, zone)}</strong>{' '}
            <span class="soft">
              <Age at={at} zone={zone} />, {bytesWords(bytes)}
            </span>
          </p>
          <code>{name}</code>
        </li>
      ))}
    </ul>
  )
}

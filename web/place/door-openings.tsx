import { durationWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import type { Opening } from '../words/thermal-words.ts'
import { say } from '../../shared/words/say.ts'

/** Each opening of the last two weeks, with what it did to the air. */
export function DoorOpenings({ openings, zone }: { openings: readonly Opening[]; zone: string }) {
  const { tell, now } = usePage()
  return (
    <table class="openings">
      <thead>
        <tr>
          <th scope="col">{say('Opened')}</th>
          <th scope="col">{say('Air warmed')}</th>
          <th scope="col">{say('Nearly back in')}</th>
        </tr>
      </thead>
      <tbody>
        {openings.map(({ at, rise, recovery }) => (
          <tr key={at}>
            <th scope="row">
              <time dateTime={new Date(at).toISOString()}>{tell.when(at, now.value, zone)}</time>
            </th>
            <td>{rise === undefined ? say('not known') : tell.difference(rise)}</td>
            <td>{recovery === undefined ? say('not known') : durationWords(recovery)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

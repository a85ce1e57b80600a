import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { numbersOf, type WinterNumbers } from './strip.ts'
import type { DrawnSeason } from './strip-frame.ts'
import { say } from '../../shared/words/say.ts'
import type { Tell } from '../words/tell.ts'

/** What each season that is drawn comes to, side by side. */
export function WinterNumbersTable({ seasons }: { seasons: readonly DrawnSeason[] }) {
  const { tell, now } = usePage()
  const at = now.peek()
  const columns = seasons.map(({ winter }) => ({ winter, numbers: numbersOf(winter, at) }))
  const quantity = seasons[0]?.winter.quantity ?? 'temperature'
  return (
    <table class="winter-numbers">
      <caption>{say('In numbers')}</caption>
      <thead>
        <tr>
          <td />
          {columns.map(({ winter }) => (
            <th key={winter.season} scope="col">
              {winter.season}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rowsFor(quantity).map(({ name, say: words }) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            {columns.map(({ winter, numbers }) => (
              <td key={winter.season}>{words(numbers, tell, quantity)}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

interface Row {
  readonly name: string
  say(numbers: WinterNumbers, tell: Tell, quantity: Quantity): string
}

const rowsFor = (quantity: Quantity): readonly Row[] => [
  { name: say('Nights watched'), say: ({ watched }, tell) => tell.count(watched) },
  {
    name: quantity === 'temperature' ? say('Coldest') : say('Lowest'),
    say: ({ coldest }, tell, of) => dated(coldest, tell, of),
  },
  {
    name: quantity === 'temperature' ? say('Warmest') : say('Highest'),
    say: ({ warmest }, tell, of) => dated(warmest, tell, of),
  },
  { name: say('Below the band, at night'), say: ({ below }) => lasted(below) },
  { name: say('Above the band, at night'), say: ({ above }) => lasted(above) },
  { name: say('Unknown, at night'), say: ({ unknown }) => lasted(unknown) },
  { name: say('Nights with alarms'), say: ({ alarmed }, tell) => tell.count(alarmed) },
  { name: say('Alarms at night'), say: ({ alarms }, tell) => tell.count(alarms) },
  { name: say('Alarms by day'), say: ({ alarmsByDay }, tell) => tell.count(alarmsByDay) },
  { name: say('Silences of more than an hour'), say: ({ gaps }, tell) => tell.count(gaps) },
  { name: say('Openings of the door'), say: ({ opened }, tell) => tell.count(opened) },
]

const dated = (found: WinterNumbers['coldest'], tell: Tell, quantity: Quantity): string =>
  found === null
    ? '–'
    : say('{value}, {date}', { value: tell.value(found.value, quantity), date: tell.date(found.date) })

const lasted = (ms: number): string => (ms === 0 ? '–' : durationWords(ms))

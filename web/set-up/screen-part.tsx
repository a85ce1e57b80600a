import { useComputed } from '@preact/signals'
import { instant } from '../../schemas/amounts.ts'
import { localDate } from '../../shared/time/wall.ts'
import { type Hours, reader, type Units } from '../../shared/words/reader.ts'
import { say, spokenLanguage } from '../../shared/words/say.ts'
import { Part } from '../access/part.tsx'
import { chooseLanguage, type LanguageCode, languages } from '../page/language.ts'
import { changes, prefer } from '../page/preferences.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'

/** How this browser writes what it is told; nothing of it changes for anybody else, nor what is judged. */
export function ScreenPart({ zone }: { zone: string }) {
  const { tell, now } = usePage()
  // Drawn anew with each choice
  const { units, hours } = useComputed(() => (changes.value, reader())).value
  return (
    <Part id="screen" title={say('This screen')}>
      <p class="hint">{say('For this browser only. A contact has units of its own, for messages.')}</p>
      <div class="thing-form screen-choices">
        <ChoiceField
          label={say('Language')}
          field="language"
          value={spokenLanguage()}
          onValue={(code) => chooseLanguage(code as LanguageCode)}
          choices={languages.map(({ code, name }) => ({ value: code, label: name }))}
        />
        <ChoiceField
          label={say('Temperatures')}
          field="units"
          value={units}
          onValue={(chosen) => prefer({ units: chosen as Units })}
          choices={[
            { value: 'celsius', label: say('in °C') },
            { value: 'fahrenheit', label: say('in °F') },
          ]}
        />
        <ChoiceField
          label={say('Clock')}
          field="hours"
          value={hours}
          onValue={(chosen) => prefer({ hours: chosen as Hours })}
          choices={[
            { value: 'h23', label: say('24 hours') },
            { value: 'h12', label: say('12 hours') },
          ]}
        />
        <p class="screen-example">
          {say('So it reads: {temperature}, {clock}, {date}.', {
            temperature: tell.value(exampleCelsius, 'temperature'),
            clock: tell.clock(now.value, zone),
            date: tell.date(localDate(instant(now.value), zone)),
          })}
        </p>
      </div>
    </Part>
  )
}

/** A box in hold. */
const exampleCelsius = 4.5

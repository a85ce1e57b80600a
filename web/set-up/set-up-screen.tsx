import { Fragment } from 'preact'
import { AccessParts, OwnDoors } from '../access/access-parts.tsx'
import { DevicesPart } from '../access/devices-part.tsx'
import { NextStepLine } from '../first/next-step-line.tsx'
import { usePage } from '../page/use-page.ts'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { AnimalsPart } from './animals-part.tsx'
import { ConnectionBox } from './connection-box.tsx'
import { FilesPart } from './files-part.tsx'
import { HousePart } from './house-part.tsx'
import { KeepingPart } from './keeping-part.tsx'
import { changes } from '../page/preferences.ts'
import { PlacesPart } from './places-part.tsx'
import { ScreenPart } from './screen-part.tsx'
import { SensorsPart } from './sensors-part.tsx'
import { SourcesPart } from './sources-part.tsx'
import { say } from '../../shared/words/say.ts'

/** By their ids; the screen is long on a phone. */
const parts = [
  ['places', say('Places')],
  ['animals', say('Animals')],
  ['house', say('House')],
  ['keeping', say('Keeping')],
  ['files', say('Files')],
  ['screen', say('This screen')],
  ['sources', say('Heard')],
  ['sensors', say('Sensors')],
  ['connection', say('Connection')],
  ['devices', say('Devices')],
  ['people', say('People')],
  ['password', say('My password')],
  ['sessions', say('Signed in')],
  ['tokens', say('Keys for scripts')],
] as const

/** House, places, sensors and animals, and who may come in: everything that the keeper tells Brumal. */
export function SetUpScreen() {
  const { household, person } = usePage()
  if (person.value?.role === 'sitter') {
    return (
      <Screen title={say('Set-up')} heading={say('Set-up')}>
        <p class="soft">
          {say('Only a keeper changes the set-up. You can see everything and acknowledge alarms.')}
        </p>
        <ScreenPart zone={household.value?.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone} />
        <OwnDoors />
      </Screen>
    )
  }
  const home = household.value
  if (home === null || person.value === null)
    return (
      <Screen title={say('Set-up')} heading={say('Set-up')}>
        <Skeleton shape="form" />
      </Screen>
    )
  return (
    <Screen title={say('Set-up')} heading={say('Set-up')}>
      <NextStepLine />
      <nav class="jump" aria-label={say('Parts of Set-up')}>
        {parts.map(([id, name]) => (
          <a key={id} href={`#part-${id}`}>
            {name}
          </a>
        ))}
      </nav>
      <div class="set-up">
        {/* What is open below is drawn anew in the units chosen; the part that they are chosen in keeps the focus */}
        <div key={`main ${changes.value}`}>
          <PlacesPart household={home} />
          <AnimalsPart household={home} />
          <HousePart household={home} />
          <KeepingPart zone={home.timeZone} />
          <FilesPart household={home} />
        </div>
        <div>
          <ScreenPart zone={home.timeZone} />
          <Fragment key={`side ${changes.value}`}>
            <SourcesPart household={home} />
            <SensorsPart household={home} />
            <ConnectionBox />
            <DevicesPart />
          </Fragment>
        </div>
      </div>
      <AccessParts />
      <p class="soft">
        <a href="/notices.txt">{say('Whose work Brumal is made with, and under which licences')}</a>
      </p>
    </Screen>
  )
}

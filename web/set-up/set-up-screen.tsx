import { usePage } from '../page/use-page.ts'
import { Screen } from '../parts/screen.tsx'
import { AnimalsPart } from './animals-part.tsx'
import { ConnectionBox } from './connection-box.tsx'
import { HousePart } from './house-part.tsx'
import { PlacesPart } from './places-part.tsx'
import { SensorsPart } from './sensors-part.tsx'
import { SourcesPart } from './sources-part.tsx'

/** House, places, sensors and animals: everything that the keeper tells Brumal. */
export function SetUpScreen() {
  const { household, person } = usePage()
  if (person.value?.role !== 'keeper') {
    return (
      <Screen title="Set-up" heading="Set-up">
        <p class="soft">Only a keeper changes the set-up. You can see everything and acknowledge alarms.</p>
      </Screen>
    )
  }
  const home = household.value
  if (home === null)
    return (
      <Screen title="Set-up" heading="Set-up">
        {null}
      </Screen>
    )
  return (
    <Screen title="Set-up" heading="Set-up">
      <div class="set-up">
        <div>
          <PlacesPart household={home} />
          <AnimalsPart household={home} />
          <HousePart household={home} />
        </div>
        <div>
          <SourcesPart household={home} />
          <SensorsPart household={home} />
          <ConnectionBox />
        </div>
      </div>
    </Screen>
  )
}

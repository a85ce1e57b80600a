import { Entrance } from './door/entrance.tsx'
import {
  animalOfPath,
  checkOfPath,
  notingOfPath,
  placeOfPath,
  reportOfPath,
  trialOfPath,
  whatIfOfPath,
  winterOfPath,
} from './page/route.ts'
import { usePage } from './page/use-page.ts'
import { fetchedLater } from './parts/fetched-later.tsx'
import { LiveLine } from './parts/live-line.tsx'
import { OutOfReach } from './parts/out-of-reach.tsx'
import { PracticeBanner } from './parts/practice-banner.tsx'
import { TopBar } from './parts/top-bar.tsx'
import { UndoBar } from './parts/undo-bar.tsx'
import { TonightScreen } from './tonight/tonight-screen.tsx'
import { say } from '../shared/words/say.ts'

export function App() {
  const { door, route } = usePage()
  if (route.path.value === '/join') return <JoinScreen />
  if (door.value !== 'in') return <Entrance />
  return (
    <>
      <TopBar />
      <LiveLine />
      <OutOfReach />
      <PracticeBanner />
      <CurrentScreen />
      <UndoBar />
    </>
  )
}

function CurrentScreen() {
  const { route } = usePage()
  const place = placeOfPath(route.path.value)
  // Each place is a screen of its own: the focus goes to its heading
  if (place !== null) return <PlaceScreen key={place} id={place} />
  const trial = trialOfPath(route.path.value)
  if (trial !== null) return <TrialScreen key={trial} place={trial} />
  const whatIf = whatIfOfPath(route.path.value)
  if (whatIf !== null) return <WhatIfScreen place={whatIf.place} />
  const check = checkOfPath(route.path.value)
  if (check !== null) return <CalibrateScreen key={check} sensor={check} />
  const animal = animalOfPath(route.path.value)
  if (animal !== null) return <AnimalScreen key={animal} id={animal} />
  const noting = notingOfPath(route.path.value)
  if (noting !== null) return <NoteScreen key={`${noting.animal} ${noting.kind}`} {...noting} />
  const report = reportOfPath(route.path.value)
  if (report !== null) return <ReportScreen key={report} id={report} />
  const winter = winterOfPath(route.path.value)
  if (winter !== null) return <WinterScreen {...winter} />
  switch (route.path.value) {
    case '/animals':
      return <AnimalsScreen />
    case '/weigh':
      return <WeighScreen />
    case '/plan':
      return <PlanScreen />
    case '/day':
      return <DayScreen />
    case '/species':
      return <SpeciesScreen />
    case '/alarms':
      return <AlarmsScreen />
    case '/contacts':
      return <ContactsScreen />
    case '/set-up':
      return <SetUpScreen />
    default:
      return <TonightScreen />
  }
}

const PlaceScreen = fetchedLater(
  say('Place'),
  async () => {
    const { PlaceScreen } = await import('./place/place-screen.tsx')
    return PlaceScreen
  },
  'cards',
)

const AlarmsScreen = fetchedLater(say('Alarms'), async () => {
  const { AlarmsScreen } = await import('./alarms/alarms-screen.tsx')
  return AlarmsScreen
})

const CalibrateScreen = fetchedLater(say('Check a sensor'), async () => {
  const { CalibrateScreen } = await import('./calibrate/calibrate-screen.tsx')
  return CalibrateScreen
})

const WhatIfScreen = fetchedLater(say('Try other limits'), async () => {
  const { WhatIfScreen } = await import('./what-if/what-if-screen.tsx')
  return WhatIfScreen
})

const TrialScreen = fetchedLater(say('Trial run'), async () => {
  const { TrialScreen } = await import('./trial/trial-screen.tsx')
  return TrialScreen
})

const AnimalScreen = fetchedLater(say('Animal'), async () => {
  const { AnimalScreen } = await import('./animals/animal-screen.tsx')
  return AnimalScreen
})

const AnimalsScreen = fetchedLater(say('Animals'), async () => {
  const { AnimalsScreen } = await import('./animals/animals-screen.tsx')
  return AnimalsScreen
})

const NoteScreen = fetchedLater(say('Note'), async () => {
  const { NoteScreen } = await import('./diary/note-screen.tsx')
  return NoteScreen
})

const WeighScreen = fetchedLater(say('Weigh'), async () => {
  const { WeighScreen } = await import('./diary/weigh-screen.tsx')
  return WeighScreen
})

const PlanScreen = fetchedLater(say('Plan'), async () => {
  const { PlanScreen } = await import('./plan/plan-screen.tsx')
  return PlanScreen
})

const DayScreen = fetchedLater(say('Today'), async () => {
  const { DayScreen } = await import('./day/day-screen.tsx')
  return DayScreen
})

const SpeciesScreen = fetchedLater(say('Species'), async () => {
  const { SpeciesScreen } = await import('./species/species-screen.tsx')
  return SpeciesScreen
})

const ReportScreen = fetchedLater(say('Winter of an animal'), async () => {
  const { ReportScreen } = await import('./report/report-screen.tsx')
  return ReportScreen
})

const WinterScreen = fetchedLater(
  say('Winter'),
  async () => {
    const { WinterScreen } = await import('./winter/winter-screen.tsx')
    return WinterScreen
  },
  'strip',
)

const ContactsScreen = fetchedLater(
  say('Contacts'),
  async () => (await import('./contacts/contacts-screen.tsx')).ContactsScreen,
)

const JoinScreen = fetchedLater(say('Invitation'), async () => {
  const { JoinScreen } = await import('./join/join-screen.tsx')
  return JoinScreen
})

const SetUpScreen = fetchedLater(say('Set-up'), async () => {
  const { SetUpScreen } = await import('./set-up/set-up-screen.tsx')
  return SetUpScreen
})

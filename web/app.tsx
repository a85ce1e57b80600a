import { AlarmsScreen } from './alarms/alarms-screen.tsx'
import { Entrance } from './door/entrance.tsx'
import { checkOfPath, placeOfPath, trialOfPath } from './page/route.ts'
import { usePage } from './page/use-page.ts'
import { fetchedLater } from './parts/fetched-later.tsx'
import { LiveLine } from './parts/live-line.tsx'
import { OutOfReach } from './parts/out-of-reach.tsx'
import { PracticeBanner } from './parts/practice-banner.tsx'
import { TopBar } from './parts/top-bar.tsx'
import { UndoBar } from './parts/undo-bar.tsx'
import { PlaceScreen } from './place/place-screen.tsx'
import { TonightScreen } from './tonight/tonight-screen.tsx'
import { WinterScreen } from './winter/winter-screen.tsx'

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
  const check = checkOfPath(route.path.value)
  if (check !== null) return <CalibrateScreen key={check} sensor={check} />
  switch (route.path.value) {
    case '/winter':
      return <WinterScreen />
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

const CalibrateScreen = fetchedLater('Check a sensor', async () => {
  const { CalibrateScreen } = await import('./calibrate/calibrate-screen.tsx')
  return CalibrateScreen
})

const TrialScreen = fetchedLater('Trial run', async () => {
  const { TrialScreen } = await import('./trial/trial-screen.tsx')
  return TrialScreen
})

const ContactsScreen = fetchedLater(
  'Contacts',
  async () => (await import('./contacts/contacts-screen.tsx')).ContactsScreen,
)

const JoinScreen = fetchedLater('Invitation', async () => {
  const { JoinScreen } = await import('./join/join-screen.tsx')
  return JoinScreen
})

const SetUpScreen = fetchedLater('Set-up', async () => {
  const { SetUpScreen } = await import('./set-up/set-up-screen.tsx')
  return SetUpScreen
})

import { AlarmsScreen } from './alarms/alarms-screen.tsx'
import { Entrance } from './door/entrance.tsx'
import { usePage } from './page/use-page.ts'
import { LiveLine } from './parts/live-line.tsx'
import { PracticeBanner } from './parts/practice-banner.tsx'
import { TopBar } from './parts/top-bar.tsx'
import { UndoBar } from './parts/undo-bar.tsx'
import { SetUpScreen } from './set-up/set-up-screen.tsx'
import { TonightScreen } from './tonight/tonight-screen.tsx'
import { WinterScreen } from './winter/winter-screen.tsx'

export function App() {
  const { door } = usePage()
  if (door.value !== 'in') return <Entrance />
  return (
    <>
      <TopBar />
      <LiveLine />
      <PracticeBanner />
      <CurrentScreen />
      <UndoBar />
    </>
  )
}

function CurrentScreen() {
  const { route } = usePage()
  switch (route.path.value) {
    case '/winter':
      return <WinterScreen />
    case '/alarms':
      return <AlarmsScreen />
    case '/set-up':
      return <SetUpScreen />
    default:
      return <TonightScreen />
  }
}

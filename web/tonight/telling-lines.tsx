import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { tellingRemarks } from '../words/telling-words.ts'

/** In daylight's voice: whom an alarm would not reach yet. Nothing while all is well. */
export function TellingLines() {
  const { telling, now } = usePage()
  if (telling.now.value === null) return null
  return (
    <>
      {tellingRemarks(telling.now.value, now.value).map(({ sentence, link }) => (
        <p key={sentence} class="aside">
          {sentence} <Link to="/contacts">{link}</Link>
        </p>
      ))}
    </>
  )
}

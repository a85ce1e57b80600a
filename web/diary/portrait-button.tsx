import type { Animal } from '../../schemas/animal.ts'
import type { PictureId } from '../../schemas/ids.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { say } from '../../shared/words/say.ts'

/** Makes a photo the face of its animal, with the way back. */
export function PortraitButton({ animal, picture }: { animal: Animal; picture: PictureId }) {
  const page = usePage()
  const act = useAct()
  if (animal.portrait === picture) return <p class="hint">{say('Its portrait.')}</p>
  const put = (next: Animal) => page.ask<Animal>('PUT', pathTo('animals', animal.id), next)
  const use = (): void =>
    void act.run(
      () => put({ ...animal, portrait: picture }),
      () => {
        page.undo.value = {
          sentence: say('{animal} has a new portrait.', { animal: animal.name }),
          undo: async () => {
            await put(animal)
            await page.refresh()
          },
        }
        void page.refresh()
      },
    )
  return (
    <>
      <button type="button" class="quiet diary-change" onClick={use}>
        {say('Use as portrait')}
      </button>
      <ProblemNote problem={act.problem.value} />
    </>
  )
}

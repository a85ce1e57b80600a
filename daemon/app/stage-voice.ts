import type { Stage } from '../../schemas/stage.ts'

export type OnStage<Watched extends Stage> = (stage: Watched, isWell: boolean, text: string) => void

/** Passes on how a stage is when that changes, and the first time: what an earlier run said may still stand. */
export function stageVoice<Watched extends Stage>(
  stage: Watched,
  onStage: OnStage<Watched>,
): (isWell: boolean, text: string) => void {
  let said: string | null = null
  return (isWell, text) => {
    const now = JSON.stringify([isWell, isWell ? null : text])
    if (now === said) return
    said = now
    onStage(stage, isWell, text)
  }
}

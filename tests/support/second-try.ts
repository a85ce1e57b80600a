import type { Reporter, TestCase } from 'vitest/node'

/**
 * Names the tests that passed only when they were tried again, with what was wrong before: each is to be looked into,
 * none is to be forgotten. A property that has failed once has failed: only the chance of the second try was kinder.
 */
export default class SecondTry implements Reporter {
  readonly #found: { readonly name: string; readonly wrong: string }[] = []

  onTestCaseResult(test: TestCase): void {
    if (test.diagnostic()?.flaky !== true) return
    const wrong = (test.result().errors ?? []).map(({ message }) => message).join('\n')
    this.#found.push({ name: `${test.module.relativeModuleId} > ${test.fullName}`, wrong })
  }

  onTestRunEnd(): void {
    for (const { name, wrong } of this.#found) console.log(`Passed only at a second try: ${name}\n${wrong}`)
    if (this.#found.some(({ wrong }) => wrong.includes('Property failed'))) process.exitCode = 1
  }
}

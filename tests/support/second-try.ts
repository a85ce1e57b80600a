import type { Reporter, TestCase } from 'vitest/node'

/** Names the tests that passed only when they were tried again: each is to be looked into, none is to be forgotten. */
export default class SecondTry implements Reporter {
  readonly #names: string[] = []

  onTestCaseResult(test: TestCase): void {
    if (test.diagnostic()?.flaky === true)
      this.#names.push(`${test.module.relativeModuleId} > ${test.fullName}`)
  }

  onTestRunEnd(): void {
    for (const name of this.#names) console.log(`Passed only at a second try: ${name}`)
  }
}

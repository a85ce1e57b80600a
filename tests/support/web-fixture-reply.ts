/** One answer of the fixture's API. */
export interface Reply {
  readonly status: number
  readonly value?: unknown
}

export const nothing: Reply = { status: 204 }
export const ok = (value: unknown): Reply => ({ status: 200, value })

export const problem = (
  status: number,
  code: string,
  detail: string,
  errors?: { path: string; message: string }[],
): Reply => ({
  status,
  value: {
    type: 'about:blank',
    title: code,
    status,
    code,
    detail,
    ...(errors === undefined ? {} : { errors }),
  },
})

export const invalid = (issues: readonly { path: PropertyKey[]; message: string }[]): Reply =>
  problem(
    400,
    'invalid',
    'The request does not fit.',
    issues.map((issue) => ({ path: ['body', ...issue.path.map(String)].join('/'), message: issue.message })),
  )

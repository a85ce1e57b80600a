/** What was asked for, or null where it takes longer than `ms`. */
export async function soon<T>(asked: Promise<T>, ms: number): Promise<T | null> {
  return Promise.race([asked, new Promise<null>((resolve) => setTimeout(() => resolve(null), ms))])
}

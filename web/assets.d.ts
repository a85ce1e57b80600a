/** The address under which the build serves a file as it is. */
declare module '*.json?url' {
  const address: string
  export default address
}

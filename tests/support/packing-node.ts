/** Why packages cannot be made by this Node, or null: the database in them is compiled for Node 20 and 22. */
export const cannotPack: string | null =
  Number.parseInt(process.versions.node, 10) >= 24 ? 'packages are made with Node 20 or 22' : null

// npm run package:folder -- <folder>: the built program and the packages it needs to run, for the container.
import { copyProgram, ownPackage, writePackage } from './program.mjs'
import { productionPackages } from './production-packages.mjs'

const [to] = process.argv.slice(2)
if (to === undefined) {
  process.stderr.write('Use: npm run package:folder -- <folder>\n')
  process.exit(64)
}
copyProgram(to, productionPackages())
const { name, version, description, license, type, bin } = ownPackage()
writePackage(to, { name, version, description, license, type, bin, private: true })

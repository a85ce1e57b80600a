import { south } from '../support/whole-winter-cast.ts'
import { claimsOf } from '../support/whole-winter-claims.ts'

claimsOf(south)

/** An expanded uncertainty is k · u with k = 2: about 95 of 100 true values lie within ± that (JCGM 100:2008, 6.2 and 6.3; from memory). */
export const coverageFactor = 2

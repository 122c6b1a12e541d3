// Package shock gives the shock protection that a voltage requires: the limited and restricted
// approach boundaries and the class of rubber insulating gloves.
//
//	approach.go  NFPA 70E, 2015 to 2024 editions, Table 130.4(E)(a) and (b)
//	gloves.go    29 CFR 1926.97, Tables E-1 and E-4; ASTM D120 for DC
//
// A US minimum approach distance (29 CFR 1910.269, 1926.960) is a different legal quantity and
// is not used here. The prohibited approach boundary was deleted from NFPA 70E in 2015.
package shock

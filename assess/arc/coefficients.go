package arc

// The tables of IEEE 1584-2018, transcribed from memory (see doc.go for what that is
// worth). Rows are in the order VCB, VCBB, HCB, VOA, HOA, and within each in the order
// 600, 2700, 14 300 V. Annex D.1 and D.2 exercise the VCB rows only; every other row rests
// on agreeing transcriptions.

// Voltages of the intermediate results, kV.
const (
	kv600   = 0.6  // Tables 1, 3
	kv2700  = 2.7  // Tables 1, 4
	kv14300 = 14.3 // Tables 1, 5
)

// currentRow is a row of Table 1: k1 to k3, and k4 to k10 as a polynomial in the bolted
// fault current in kA, highest power first. The same k4 to k10 are printed in Tables 3 to 5.
type currentRow struct {
	k1, k2, k3 float64
	poly       [7]float64
}

// currentTable is Table 1, arcing current, for each electrode configuration at 600, 2700 and
// 14 300 V.
var currentTable = [5][3]currentRow{
	{ // VCB
		{-0.04287, 1.035, -0.083, [7]float64{0, 0, -4.783e-9, 1.962e-6, -0.000229, 0.003141, 1.092}},
		{0.0065, 1.001, -0.024, [7]float64{-1.557e-12, 4.556e-10, -4.186e-8, 8.346e-7, 5.482e-5, -0.003191, 0.9729}},
		{0.005795, 1.015, -0.011, [7]float64{-1.557e-12, 4.556e-10, -4.186e-8, 8.346e-7, 5.482e-5, -0.003191, 0.9729}},
	},
	{ // VCBB
		{-0.017432, 0.98, -0.05, [7]float64{0, 0, -5.767e-9, 2.524e-6, -0.00034, 0.01187, 1.013}},
		{0.002823, 0.995, -0.0125, [7]float64{0, -9.204e-11, 2.901e-8, -3.262e-6, 0.0001569, -0.004003, 0.9825}},
		{0.014827, 1.01, -0.01, [7]float64{0, -9.204e-11, 2.901e-8, -3.262e-6, 0.0001569, -0.004003, 0.9825}},
	},
	{ // HCB
		{0.054922, 0.988, -0.11, [7]float64{0, 0, -5.382e-9, 2.316e-6, -0.000302, 0.0091, 0.9725}},
		{0.001011, 1.003, -0.0249, [7]float64{0, 0, 4.859e-10, -1.814e-7, -9.128e-6, -0.0007, 0.9881}},
		{0.008693, 0.999, -0.02, [7]float64{0, -5.043e-11, 2.233e-8, -3.046e-6, 0.000116, -0.001145, 0.9839}},
	},
	{ // VOA
		{0.043785, 1.04, -0.18, [7]float64{0, 0, -4.783e-9, 1.962e-6, -0.000229, 0.003141, 1.092}},
		{-0.02395, 1.006, -0.0188, [7]float64{-1.557e-12, 4.556e-10, -4.186e-8, 8.346e-7, 5.482e-5, -0.003191, 0.9729}},
		{0.005371, 1.0102, -0.029, [7]float64{-1.557e-12, 4.556e-10, -4.186e-8, 8.346e-7, 5.482e-5, -0.003191, 0.9729}},
	},
	{ // HOA
		{0.111147, 1.008, -0.24, [7]float64{0, 0, -3.895e-9, 1.641e-6, -0.000197, 0.002615, 1.1}},
		{0.000435, 1.006, -0.038, [7]float64{0, 0, 7.859e-10, -1.914e-7, -9.128e-6, -0.0007, 0.9981}},
		{0.000904, 0.999, -0.02, [7]float64{0, 0, 7.859e-10, -1.914e-7, -9.128e-6, -0.0007, 0.9981}},
	},
}

// variationTable is Table 2, k1 to k7 of the arcing-current variation, a polynomial in the
// voltage in kV, highest power first.
var variationTable = [5][7]float64{
	{0, -1.4269e-6, 8.3137e-5, -0.0019382, 0.022366, -0.12645, 0.30226},       // VCB
	{1.138e-6, -6.0287e-5, 0.0012758, -0.013778, 0.080217, -0.24066, 0.33524}, // VCBB
	{0, -3.097e-6, 0.00016405, -0.0033609, 0.033308, -0.16182, 0.34627},       // HCB
	{9.5606e-7, -5.1543e-5, 0.0011161, -0.01242, 0.075125, -0.23584, 0.33696}, // VOA
	{0, -3.1555e-6, 0.0001682, -0.0034607, 0.034124, -0.1599, 0.34629},        // HOA
}

// energyRow is a row of Tables 3 to 5 without its k4 to k10, which are those of Table 1.
type energyRow struct {
	k1, k2, k3, k11, k12, k13 float64
}

// energyTable is Tables 3, 4 and 5, incident energy and boundary.
var energyTable = [5][3]energyRow{
	{ // VCB
		{0.753364, 0.566, 1.752636, 0, -1.598, 0.957}, // Table 3
		{2.40021, 0.165, 0.354202, 0, -1.569, 0.9778}, // Table 4
		{3.825917, 0.11, -0.999749, 0, -1.568, 0.99},  // Table 5
	},
	{ // VCBB
		{3.068459, 0.26, -0.098107, -0.06, -1.809, 1.19}, // Table 3
		{3.870592, 0.185, -0.736618, 0, -1.742, 1.09},    // Table 4
		{3.644309, 0.215, -0.585522, 0, -1.677, 1.06},    // Table 5
	},
	{ // HCB
		{4.073745, 0.344, -0.370259, 0, -2.03, 1.036},      // Table 3
		{3.486391, 0.177, -0.193101, 0.027, -1.723, 1.055}, // Table 4
		{3.044516, 0.125, 0.245106, 0, -1.655, 1.084},      // Table 5
	},
	{ // VOA
		{0.679294, 0.746, 1.222636, 0, -1.598, 0.997},  // Table 3
		{3.880724, 0.105, -1.906033, 0, -1.515, 1.115}, // Table 4
		{3.405454, 0.12, -0.93245, 0, -1.534, 0.979},   // Table 5
	},
	{ // HOA
		{3.470417, 0.465, -0.261863, 0, -1.99, 1.04},     // Table 3
		{3.616266, 0.149, -0.761561, 0, -1.639, 1.078},   // Table 4
		{2.04049, 0.177, 1.005092, -0.05, -1.633, 1.151}, // Table 5
	},
}

// sizeTable is Table 7, b1 to b3 of the enclosure size correction factor, for the typical
// and the shallow box.
var sizeTable = [2][3][3]float64{
	{ // typical, eq. 14
		{-0.000302, 0.03441, 0.4325},  // VCB
		{-0.0002976, 0.032, 0.479},    // VCBB
		{-0.0001923, 0.01935, 0.6899}, // HCB
	},
	{ // shallow, eq. 15
		{0.002222, -0.02556, 0.6222},  // VCB
		{-0.002778, 0.1194, -0.2778},  // VCBB
		{-0.0005556, 0.03722, 0.4778}, // HCB
	},
}

// dimensionTable is A and B of eq. 11 and 12.
var dimensionTable = [3]struct{ a, b float64 }{
	{4, 20},  // VCB
	{10, 24}, // VCBB
	{10, 22}, // HCB
}

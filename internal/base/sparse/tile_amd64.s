#include "textflag.h"

// Tiles of panels, four numbers an instruction: see the plain loops of the same
// names for what is worked out. Products are rounded before they are added, so
// that the bits are those of the plain loops.

// acc(lo, hi) += a·b, where b is one number for all eight lanes.
#define TIMES(at, lo, hi) \
	VBROADCASTSD at(DX), Y10; \
	VMULPD Y8, Y10, Y11; \
	VMULPD Y9, Y10, Y12; \
	VADDPD Y11, lo, lo; \
	VADDPD Y12, hi, hi

// c −= acc
#define LESS(at, acc) \
	VMOVUPD at(DI), Y8; \
	VSUBPD acc, Y8, Y8; \
	VMOVUPD Y8, at(DI)

// func lessTileAVX2(c, a, b *float64, depth int)
TEXT ·lessTileAVX2(SB), NOSPLIT, $0-32
	MOVQ c+0(FP), DI
	MOVQ a+8(FP), SI
	MOVQ b+16(FP), DX
	MOVQ depth+24(FP), CX
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	VXORPD Y2, Y2, Y2
	VXORPD Y3, Y3, Y3
	VXORPD Y4, Y4, Y4
	VXORPD Y5, Y5, Y5
	VXORPD Y6, Y6, Y6
	VXORPD Y7, Y7, Y7
more:
	VMOVUPD (SI), Y8
	VMOVUPD 32(SI), Y9
	TIMES(0, Y0, Y1)
	TIMES(8, Y2, Y3)
	TIMES(16, Y4, Y5)
	TIMES(24, Y6, Y7)
	ADDQ $64, SI
	ADDQ $64, DX
	DECQ CX
	JNZ more
	LESS(0, Y0)
	LESS(32, Y1)
	LESS(64, Y2)
	LESS(96, Y3)
	LESS(128, Y4)
	LESS(160, Y5)
	LESS(192, Y6)
	LESS(224, Y7)
	VZEROUPPER
	RET

// x −= l·y, where l is one number for all lanes.
#define OFF(at, y, x) \
	VBROADCASTSD at(DX), Y8; \
	VMULPD y, Y8, Y9; \
	VSUBPD Y9, x, x

#define BY(at, x) \
	VBROADCASTSD at(CX), Y8; \
	VMULPD x, Y8, x

// func solveTileAVX2(x, l, inverse *float64)
TEXT ·solveTileAVX2(SB), NOSPLIT, $0-24
	MOVQ x+0(FP), DI
	MOVQ l+8(FP), DX
	MOVQ inverse+16(FP), CX
	MOVQ $2, R8
half:
	VMOVUPD (DI), Y0
	VMOVUPD 64(DI), Y1
	VMOVUPD 128(DI), Y2
	VMOVUPD 192(DI), Y3
	VMOVUPD 256(DI), Y4
	VMOVUPD 320(DI), Y5
	VMOVUPD 384(DI), Y6
	VMOVUPD 448(DI), Y7
	BY(0, Y0)
	OFF(8, Y0, Y1)
	OFF(16, Y0, Y2)
	OFF(24, Y0, Y3)
	OFF(32, Y0, Y4)
	OFF(40, Y0, Y5)
	OFF(48, Y0, Y6)
	OFF(56, Y0, Y7)
	BY(8, Y1)
	OFF(80, Y1, Y2)
	OFF(88, Y1, Y3)
	OFF(96, Y1, Y4)
	OFF(104, Y1, Y5)
	OFF(112, Y1, Y6)
	OFF(120, Y1, Y7)
	BY(16, Y2)
	OFF(152, Y2, Y3)
	OFF(160, Y2, Y4)
	OFF(168, Y2, Y5)
	OFF(176, Y2, Y6)
	OFF(184, Y2, Y7)
	BY(24, Y3)
	OFF(224, Y3, Y4)
	OFF(232, Y3, Y5)
	OFF(240, Y3, Y6)
	OFF(248, Y3, Y7)
	BY(32, Y4)
	OFF(296, Y4, Y5)
	OFF(304, Y4, Y6)
	OFF(312, Y4, Y7)
	BY(40, Y5)
	OFF(368, Y5, Y6)
	OFF(376, Y5, Y7)
	BY(48, Y6)
	OFF(440, Y6, Y7)
	BY(56, Y7)
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 64(DI)
	VMOVUPD Y2, 128(DI)
	VMOVUPD Y3, 192(DI)
	VMOVUPD Y4, 256(DI)
	VMOVUPD Y5, 320(DI)
	VMOVUPD Y6, 384(DI)
	VMOVUPD Y7, 448(DI)
	ADDQ $32, DI
	DECQ R8
	JNZ half
	VZEROUPPER
	RET

// func lessColumnsAVX2(to, panel, y *float64, n int)
TEXT ·lessColumnsAVX2(SB), NOSPLIT, $0-32
	MOVQ to+0(FP), DI
	MOVQ panel+8(FP), SI
	MOVQ y+16(FP), DX
	MOVQ n+24(FP), CX
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
column:
	VBROADCASTSD (DX), Y2
	VMULPD (SI), Y2, Y3
	VMULPD 32(SI), Y2, Y4
	VADDPD Y3, Y0, Y0
	VADDPD Y4, Y1, Y1
	ADDQ $64, SI
	ADDQ $8, DX
	DECQ CX
	JNZ column
	LESS(0, Y0)
	LESS(32, Y1)
	VZEROUPPER
	RET

// p = the products of a column with z, the second half added to the first.
#define COLUMN(at, p, room) \
	VMULPD at(SI), Y0, p; \
	VMULPD at+32(SI), Y1, room; \
	VADDPD room, p, p

// func lessRowsAVX2(y, panel, z *float64, n int)
TEXT ·lessRowsAVX2(SB), NOSPLIT, $0-32
	MOVQ y+0(FP), DI
	MOVQ panel+8(FP), SI
	MOVQ z+16(FP), DX
	MOVQ n+24(FP), CX
	VMOVUPD (DX), Y0
	VMOVUPD 32(DX), Y1
columns:
	COLUMN(0, Y2, Y6)
	COLUMN(64, Y3, Y7)
	COLUMN(128, Y4, Y6)
	COLUMN(192, Y5, Y7)
	VHADDPD Y3, Y2, Y2
	VHADDPD Y5, Y4, Y4
	VPERM2F128 $0x20, Y4, Y2, Y6
	VPERM2F128 $0x31, Y4, Y2, Y7
	VADDPD Y7, Y6, Y6
	VMOVUPD (DI), Y8
	VSUBPD Y6, Y8, Y8
	VMOVUPD Y8, (DI)
	ADDQ $256, SI
	ADDQ $32, DI
	SUBQ $4, CX
	JNZ columns
	VZEROUPPER
	RET

/** The coder alone, without the renderers that the package's entry brings along. */
declare module 'qrcode/lib/core/qrcode.js' {
  const qrcode: {
    create(
      text: string,
      options?: { errorCorrectionLevel?: 'L' | 'M' | 'Q' | 'H' },
    ): {
      modules: { size: number; data: ArrayLike<number | boolean> }
    }
  }
  export default qrcode
}

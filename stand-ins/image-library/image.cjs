/** What the tracer asks of an image: pixels that are in memory already. It opens no files. */
module.exports = class Image {
  /**
   * @param {number} width px
   * @param {number} height px
   * @param {Uint8Array} data RGBA, one byte each
   */
  constructor(width, height, data) {
    this.bitmap = { width, height, data };
  }

  /** Calls `visit(x, y, index)` for each pixel, row by row; `index` is that of its first byte. */
  scan(left, top, width, height, visit) {
    for (let y = top; y < top + height; y++)
      for (let x = left; x < left + width; x++) visit(x, y, 4 * (y * this.bitmap.width + x));
  }

  static read(_file, done) {
    done(new Error('The tracer opens no files here: hand it an Image.'));
  }
};

/**
 * The parts of @vladmandic/face-api 1.7.15 that the oracle asks: its own types bring those of the whole tensor library
 * along.
 */
declare module '@vladmandic/face-api/dist/face-api.node-wasm.js' {
  interface FaceRect {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  }

  /** A picture or a part of one in the tensor library's hands. */
  interface Tensor {
    dispose(): void;
  }

  interface FaceLibrary {
    readonly tf: {
      /** No warnings of its own. */
      enableProdMode(): void;
      setBackend(name: 'wasm'): Promise<boolean>;
      ready(): Promise<void>;
      tensor3d(values: Int32Array, shape: readonly [number, number, number], type: 'int32'): Tensor;
    };
    readonly Rect: new (x: number, y: number, width: number, height: number) => FaceRect;
    readonly TinyFaceDetectorOptions: new (options: {
      readonly inputSize: number;
      readonly scoreThreshold: number;
    }) => object;
    readonly nets: {
      readonly tinyFaceDetector: {
        loadFromDisk(folder: string): Promise<void>;
        locateFaces(
          picture: Tensor,
          options: object,
        ): Promise<readonly { readonly score: number; readonly box: FaceRect }[]>;
      };
      readonly faceLandmark68Net: {
        loadFromDisk(folder: string): Promise<void>;
        detectLandmarks(
          face: Tensor,
        ): Promise<{ readonly positions: readonly { readonly x: number; readonly y: number }[] }>;
      };
    };
    extractFaceTensors(picture: Tensor, boxes: readonly FaceRect[]): Promise<readonly Tensor[]>;
  }

  const library: FaceLibrary;
  export default library;
}

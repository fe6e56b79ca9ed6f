/** The kernels as the rooms that call them use them, by the files of their sources in src/kernels/assembly. */
export const KERNEL_GROUPS: Readonly<Record<string, readonly string[]>> = {
  'curvature smoothing': ['curvature-smoothing', 'ring'],
  'curve fitting': ['curves', 'stretch', 'fit'],
  'distance transform': ['distance'],
  'narrow branches': ['narrow-branches', 'thinning', 'branches'],
  'connected regions': ['regions'],
  'Gaussian blur': ['blur'],
  'pointwise arithmetic': ['pointwise', 'places'],
  'block means and interpolation': ['scaling'],
  counts: ['counts'],
  'convolutional networks': ['convolution'],
};

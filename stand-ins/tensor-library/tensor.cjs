// The core is all that finding faces uses; the rest is for training, browsers and files of models. What the whole
// library puts on every tensor, and the face library calls there, is put on it here.
const core = require('@tensorflow/tfjs-core');

const CALLED_ON_TENSORS = [
  'slice',
  'reshape',
  'expandDims',
  'squeeze',
  'mul',
  'sub',
  'div',
  'add',
  'mean',
  'transpose',
  'resizeBilinear',
];
for (const name of CALLED_ON_TENSORS) {
  core.Tensor.prototype[name] ??= function (...rest) {
    return core[name](this, ...rest);
  };
}
for (const [name, dimensions] of [
  ['as1D', 1],
  ['as2D', 2],
  ['as3D', 3],
  ['as4D', 4],
]) {
  core.Tensor.prototype[name] ??= function (...shape) {
    return core.reshape(this, dimensions === 1 ? [this.size] : shape);
  };
}

module.exports = core;

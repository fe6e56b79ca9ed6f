import { api, type PictureInfo } from '../api.js';
import { keepOrigin, originOf, type PictureOrigin } from '../kept-pictures.js';
import { isGone } from './error-message.js';

/** Hands a picture to the server, and keeps it for when the server has forgotten it. */
export async function upload(origin: PictureOrigin): Promise<PictureInfo> {
  const picture =
    origin.kind === 'sample'
      ? await api.startSample(origin.name)
      : await api.upload(origin.file, origin.name);
  await keepOrigin(picture.id, origin);
  return picture;
}

/** Hands a picture that the server has forgotten to it again; undefined where the browser has not kept it. */
export async function uploadAgain(id: string): Promise<PictureInfo | undefined> {
  const origin = await originOf(id);
  return origin && upload(origin);
}

/** A picture by its id; where the server has forgotten it, as the browser kept it. */
export async function findPicture(id: string): Promise<PictureInfo> {
  try {
    return await api.picture(id);
  } catch (error) {
    const again = isGone(error) ? await uploadAgain(id) : undefined;
    if (!again) throw error;
    return again;
  }
}

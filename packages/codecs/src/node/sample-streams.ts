/**
 * For tests: 24 by 16 pixels in codings that nothing installed by npm writes. The HEIC picture by heif-enc of libheif 1.15
 * (quality 95, 4:4:4; as phones do, in a grid), the HTJ2K stream by ojph_compress of OpenJPH 0.9 (reversible).
 */
export const sampleStreamWidth = 24;
export const sampleStreamHeight = 16;

/** What was coded as HEIC, three channels. */
export const heicPixels = Uint8Array.from({ length: 3 * 24 * 16 }, (_, n) => {
  const [x, y, c] = [Math.floor(n / 3) % 24, Math.floor(n / 72), n % 3];
  return c === 0 ? 10 * x : c === 1 ? 15 * y : 3 * x + 4 * y;
});

/** What was coded as HTJ2K, grey. */
export const htj2kPixels = Uint8Array.from({ length: 24 * 16 }, (_, n) => {
  const [x, y] = [n % 24, Math.floor(n / 24)];
  return 7 * x + 11 * y + ((x * y) % 5);
});

const bytes = (base64: string): Uint8Array => new Uint8Array(Buffer.from(base64, 'base64'));

export const heicSample = bytes(
  'AAAAHGZ0eXBoZWljAAAAAG1pZjFoZWljbWlhZgAAAa5tZXRhAAAAAAAAACFoZGxyAAAAAAAAAABwaWN0AAAAAAAAAAAAAAAAAAAAAA5waXRtAAAAAAACAAAAEGlkYXQAAAAAABgAEAAAADhpbG9jAQAAAERAAAIAAQAAAAAAAAHSAAEAAAAAAAAA8wACAAEAAAAAAAAAAQAAAAAAAAAIAAAAOGlpbmYAAAAAAAIAAAAVaW5mZQIAAAEAAQAAaHZjMQAAAAAVaW5mZQIAAAAAAgAAZ3JpZAAAAADZaXBycAAAALdpcGNvAAAAd2h2Y0MBBAgAAAAAAAAAAAAe8AD8//j4AAAPAyAAAQAXQAEMAf//BAgAAAMAnjgAAAMAAB66AkAhAAEAKkIBAQQIAAADAJ44AAADAAAekAQQILLdVdNc3AgIGBAAAAMAEAAAAwAQgCIAAQAIRAHBcxgwGJAAAAAUaXNwZQAAAAAAAABAAAAAQAAAABRpc3BlAAAAAAAAABgAAAAQAAAAEHBpeGkAAAAAAwgICAAAABppcG1hAAAAAAAAAAIAAQKBAgACAgOEAAAAGmlyZWYAAAAAAAAADmRpbWcAAgABAAEAAAD7bWRhdAAAAO8oAa8Gsh/bUnCRrA7l1x2cXijKsMjXlA5QMGn4q3+CfnevlJhv83XETDqy7+5CNkWuJ0LuYFQN545PkZYoexfR4lbSLjvUoS0aF97dFCHjNGxWxiTrOpUsxzsl0LphXAUuLnk1aV8ersx7hpaQ0zPSWdNH32//lZYojBBuB1b25RxF4/6AqH0mRvG5ZFhEWmXLLedTA5ZYY5iq0jI+BZkXdy80UhpBNswQVG2ANE2sFswcpJl/F0Id1R/0aDR0AruoH4qgs916UPjodJoHI/Sff77JCY53a02MKyox1oaEFD66+d+37Hd7OnyuIWEHwA==',
);

export const htj2kSample = bytes(
  '/0//UQApQAAAAAAYAAAAEAAAAAAAAAAAAAAAGAAAABAAAAAAAAAAAAABBwEB/1AACAACAAAAA/9SAAwAAgABAAEEBEAB/1wAByBQUFBY/2QAFgABT3BlbkpQSCBWZXIgMC45LjAu/5AACgAAAAABMwAB/5PAF7WA/2njr2FltV9s58VrvJPvnEXY6mivsG33mqW5yCDC5Rge2UqAcyi+S7gWE4XAJsOjXoIdREkrCwBOaJxk6KpGlHslfhbF2GZFW+V/JptLVl8TAYlauGpI1KVAgxTUMshGekek4IAAAAKpugHAF28AXewAu5BWAqUEUCIfJH1AMqEKsITfyd5hREsFPTYKPzlPUJhiBqRyem1+RH3SReNr5PuO8O8oaVTvhekBhBCCkN66FwQJAEj4AEhgHZkgIMEBhQvQgBew9GCnDQgKh0SgASQpIoWMQCpVnVXd3k8w7+Jav1oTe5+7AchKWhmIUjmqMpKYZZolCOwL+hUQYGZr8O9HUAgADBCAdHtON13rhCAIUOgX9u/cafVI669+dHRZAf/Z',
);

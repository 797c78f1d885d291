"""Small pictures in many kinds of TIFF and PNG, by tifffile, imagecodecs (libpng) and a profile of LittleCMS.

python3 tests/support/tiff_variants.py tests/library/picture/data

All of a family hold the same values. `light.csv` has the light of some pixels of each, calculated by numpy from
the values and the published curve; `refused.csv` the files that must be refused, each with a word of the reason.
Needs tifffile, imagecodecs, numpy and pillow.
"""

import struct
import sys
import zlib
from pathlib import Path

import imagecodecs
import numpy as np
import tifffile
from PIL import ImageCms

WIDTH, HEIGHT = 37, 21
GREEN = 1


def values():
    x, y, c = np.meshgrid(np.arange(WIDTH), np.arange(HEIGHT), np.arange(3), indexing="xy")
    v = (x * 1777 + y * 3001 + c * 7919) % 65536
    v[0, 0], v[0, 1] = 0, 65535
    return v.astype(np.uint16)


def srgb(v):
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def bt709(v):
    return np.where(v < 0.081, v / 4.5, ((v + 0.099) / 1.099) ** (1 / 0.45))


def linear(v):
    return v


def profile(names, element):
    """A profile with tone curves alone: as much of it as a reader of tone curves needs."""
    at = 132 + 12 * len(names)
    table = struct.pack(">I", len(names)) + b"".join(n + struct.pack(">II", at, len(element)) for n in names)
    body = table + element
    head = struct.pack(">I4sI4s4s4s", 128 + len(body), b"none", 0x02400000, b"mntr", b"RGB " if len(names) == 3 else b"GRAY", b"XYZ ")
    head = head + bytes(36 - len(head)) + b"acsp"
    return head + bytes(128 - len(head)) + body


COLOURS = [b"rTRC", b"gTRC", b"bTRC"]


def curv(points):
    return b"curv" + bytes(4) + struct.pack(">I", len(points)) + np.array(points, ">u2").tobytes()


def chunk(name, data):
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def png(data, *chunks):
    whole = bytes(imagecodecs.png_encode(data))
    # After the signature (8) and IHDR (25).
    return whole[:33] + b"".join(chunks) + whole[33:]


def interlaced(data, *chunks):
    """A PNG of seven passes (Adam7), written here: the codec writes none."""
    passes = [(0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2)]
    rows = b""
    for x, y, dx, dy in passes:
        part = data[y::dy, x::dx]
        if part.size:
            rows += b"".join(b"\0" + row.astype(">u2").tobytes() for row in part)
    kind = 2 if data.ndim == 3 else 0
    head = struct.pack(">IIBBBBB", data.shape[1], data.shape[0], 16, kind, 0, 0, 1)
    body = [chunk(b"IHDR", head), *chunks, chunk(b"IDAT", zlib.compress(rows, 9)), chunk(b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(body)


def main(folder):
    folder.mkdir(exist_ok=True)
    for old in list(folder.glob("*.tif")) + list(folder.glob("*.png")):
        old.unlink()
    rgb = values()
    grey = np.ascontiguousarray(rgb[:, :, GREEN])
    rows, refused = [], []
    some = [(0, 0), (1, 0), (5, 3), (20, 7), (36, 0), (17, 16), (0, 20), (36, 20)]

    def record(name, curve, needs_linear, gray=grey):
        for x, y in some:
            light = float(curve(gray[y, x] / 65535.0))
            rows.append(f"{name},{int(needs_linear)},{x},{y},{light:.9f}")

    def tiff(name, data, curve=linear, needs_linear=True, **more):
        more.setdefault("photometric", "rgb" if data.ndim == 3 else "minisblack")
        tifffile.imwrite(folder / name, data, software=False, metadata=None, **more)
        record(name, curve, needs_linear)

    planes = np.ascontiguousarray(np.moveaxis(rgb, 2, 0))
    for order, letter in (("<", "little"), (">", "big")):
        tiff(f"rgb-{letter}.tif", rgb, byteorder=order)
        tiff(f"grey-{letter}.tif", grey, byteorder=order)
        tiff(f"bigtiff-{letter}.tif", rgb, byteorder=order, bigtiff=True)
        tiff(f"deflate-predictor-{letter}.tif", rgb, byteorder=order, compression="zlib", predictor=2)
        tiff(f"lzw-predictor-{letter}.tif", rgb, byteorder=order, compression="lzw", predictor=2, rowsperstrip=4)
        tiff(f"planar-{letter}.tif", planes, byteorder=order, planarconfig="separate")
    tiff("deflate.tif", rgb, compression="zlib")
    tiff("lzw-grey.tif", grey, compression="lzw")
    tiff("packbits.tif", rgb, compression="packbits")
    tiff("strips.tif", rgb, rowsperstrip=5)
    tiff("tiles.tif", rgb, tile=(16, 16))
    tiff("tiles-deflate-predictor.tif", rgb, tile=(16, 32), compression="zlib", predictor=2)
    tiff("planar-tiles-lzw.tif", planes, planarconfig="separate", tile=(16, 16), compression="lzw")
    tiff("planar-strips-deflate.tif", planes, planarconfig="separate", rowsperstrip=4, compression="zlib", predictor=2)
    tiff("white-is-zero.tif", 65535 - grey, photometric="miniswhite")
    alpha = np.dstack([rgb, np.full((HEIGHT, WIDTH), 65535, np.uint16)])
    tiff("alpha.tif", alpha, photometric="rgb", extrasamples=["unassalpha"])

    made = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    power = profile(COLOURS, curv([round(1.8 * 256)]))
    flat = profile(COLOURS, curv([]))
    points = np.round(65535 * np.linspace(0, 1, 256) ** 2.2)
    grey_table = profile([b"kTRC"], curv(points))

    def table(v):
        return np.interp(v, np.linspace(0, 1, 256), points / 65535)

    tiff("profile-srgb.tif", rgb, srgb, False, iccprofile=made, compression="zlib")
    tiff("profile-power.tif", rgb, lambda v: v ** (round(1.8 * 256) / 256), False, iccprofile=power)
    tiff("profile-linear.tif", rgb, linear, False, iccprofile=flat)
    tiff("profile-table-grey.tif", grey, table, False, iccprofile=grey_table)

    def write_png(name, data, curve, needs_linear, *chunks):
        (folder / name).write_bytes(png(data, *chunks))
        record(name, curve, needs_linear)

    def iccp(p):
        return chunk(b"iCCP", b"profile\0\0" + zlib.compress(p, 9))

    gamma = lambda number: chunk(b"gAMA", struct.pack(">I", number))
    write_png("plain.png", rgb, linear, True)
    write_png("grey-linear.png", grey, linear, False, gamma(100000))
    write_png("alpha-linear.png", alpha, linear, False, gamma(100000))
    write_png("gama.png", rgb, lambda v: v ** (100000 / 45455), False, gamma(45455))
    # sRGB goes before gAMA, a profile before both, cICP before all.
    write_png("srgb.png", rgb, srgb, False, gamma(50000), chunk(b"sRGB", b"\0"))
    write_png("profile.png", rgb, lambda v: v ** (round(1.8 * 256) / 256), False, gamma(50000), iccp(power))
    write_png("profile-grey.png", grey, table, False, iccp(grey_table))
    write_png("cicp.png", rgb, bt709, False, chunk(b"cICP", bytes([1, 1, 0, 1])), iccp(power))
    write_png("cicp-linear.png", rgb, linear, False, chunk(b"cICP", bytes([1, 8, 0, 1])))

    (folder / "interlaced.png").write_bytes(interlaced(rgb, gamma(100000)))
    record("interlaced.png", linear, False)

    def refuse(name, word, data=None, raw=None, **more):
        if raw is None:
            tifffile.imwrite(folder / name, data, software=False, metadata=None, **more)
        else:
            (folder / name).write_bytes(raw)
        refused.append(f"{name},{word}")

    low = (rgb >> 8).astype(np.uint8)
    refuse("eight-bits.tif", "8 bits a channel", low, photometric="rgb")
    refuse("thirty-two-bits.tif", "32 bits a channel", grey.astype(np.uint32), photometric="minisblack")
    refuse("half.tif", "floating-point values of 16 bits", (grey / 65535).astype(np.float16), photometric="minisblack")
    refuse("float.tif", "floating-point values of 32 bits", (grey / 65535).astype(np.float32), photometric="minisblack")
    refuse("signed.tif", "not whole numbers", grey.astype(np.int16), photometric="minisblack")
    refuse("inks.tif", "printing inks", alpha, photometric="separated")
    refuse("jpeg.tif", "JPEG", low, photometric="rgb", compression="jpeg")
    refuse("jpeg.png", "JPEG", raw=bytes(imagecodecs.jpeg8_encode(low)))
    refuse("zstd.tif", "compression (number 50000)", rgb, photometric="rgb", compression="zstd")
    refuse("preview.tif", "raw file", low, photometric="rgb", subfiletype=1)
    refuse("raw-version.tif", "raw file", low, photometric="rgb", extratags=[(50706, "B", 4, b"\1\4\0\0", True)])
    refuse("raw-mosaic.tif", "raw file", grey, photometric="cfa", extratags=[(33421, "H", 2, (2, 2), True), (33422, "B", 4, bytes([0, 1, 1, 2]), True)])
    with tifffile.TiffWriter(folder / "raw-inside.tif") as writer:
        writer.write(low, photometric="rgb", software=False, metadata=None, subifds=1)
        writer.write(grey, photometric="minisblack", software=False, metadata=None)
    refused.append("raw-inside.tif,raw file")
    refuse("eight-bits.png", "8 bits a channel", raw=png(low))
    refuse("video.png", "transfer function 16", raw=png(rgb, chunk(b"cICP", bytes([9, 16, 0, 1]))))
    # The first 4 bytes of IHDR are the width.
    huge = bytearray(png(grey, gamma(100000)))
    huge[16:24] = struct.pack(">II", 100000, 100000)
    huge[29:33] = struct.pack(">I", zlib.crc32(bytes(huge[12:29])))
    refuse("huge.png", "than a file of", raw=bytes(huge))

    versions = f"tifffile {tifffile.__version__}, imagecodecs {imagecodecs.__version__}, numpy {np.__version__}"
    head = f"# made by tests/support/tiff_variants.py with {versions}\n"
    (folder / "light.csv").write_text(head + "file,linear,x,y,light\n" + "\n".join(rows) + "\n")
    (folder / "refused.csv").write_text(head + "file,word\n" + "\n".join(refused) + "\n")


main(Path(sys.argv[1]))

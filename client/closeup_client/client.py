"""The client: one method for each operation of the service, with its keyword arguments in the vocabulary.

Records are named by way of the package, which loads the module of a record when the first of its names is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self, TypeVar, Unpack

import closeup_client
from closeup_client.blocks import blocks_of, joined
from closeup_client.in_process import BASE_URL, InProcess
from closeup_client.messages import HTML, SVG
from closeup_client.photographs import content_of_photograph
from closeup_client.reading import read, read_records
from closeup_client.signatures import add_signatures
from closeup_client.transport import BUSY_WAIT_S, RETRIES, TIMEOUT_S, USUAL_URL, Timeout, Transport, to_server

if TYPE_CHECKING:
    import requests

A = TypeVar("A")


class Client:
    """Asks a running service, or one within this process.

    Parameters
    ----------
    base_url : address of the service; a path before its own addresses is kept.
    timeout : seconds to wait for the connection and for each piece of the answer, or a pair of them.
    session : a session of your own (proxies, certificates, credentials); it is used as it is and never closed.
    retries : further tries when a connection is lost; timeouts and refusals are never tried again.
    busy_wait_s : seconds to wait in all, for one call, for a service that is busy (503) or is asked too often (429) and says
        with Retry-After when to ask again; 0 to take the refusal at once. A longer wait than this is not begun.

    A client may be shared by threads; it keeps up to 10 connections open to its service, and more threads than that open and
    close further ones. Pass a session with an `HTTPAdapter(pool_maxsize=...)` of your own for more.

    Members are named in the help of each method's fields, such as `help(MagnificationFields)`; what each means and how far
    it goes is told by the command of the same name, such as `closeup magnification --help`, and at /docs of a service.

    Every method raises `ServiceUnreachable`, `ServiceRefused` or `AnswerNotUnderstood`, all of them `CloseupError`, and
    ValueError where a number to be sent is not finite. A client may be used in a `with` statement.
    """

    def __init__(
        self,
        base_url: str = USUAL_URL,
        *,
        timeout: Timeout = TIMEOUT_S,
        session: requests.Session | None = None,
        retries: int = RETRIES,
        busy_wait_s: float = BUSY_WAIT_S,
    ) -> None:
        self._transport: Transport = (
            InProcess()
            if base_url == BASE_URL  # which stands for this process
            else to_server(base_url, timeout, session, retries, busy_wait_s)
        )

    @classmethod
    def in_process(cls) -> Self:
        """Client that needs no running service: the one installed here answers, within this process.

        Raises
        ------
        ServiceUnreachable
            Where the service is not installed.
        """
        return cls(BASE_URL, busy_wait_s=0)

    def magnification(self, **asked: Unpack[closeup_client.MagnificationFields]) -> closeup_client.MagnificationAnswer:
        """Magnification that fills the frame, or that an extension or a working distance gives."""
        return self._sum("/v1/magnification", asked, closeup_client.MagnificationAnswer)

    def working_distance(
        self, **asked: Unpack[closeup_client.WorkingDistanceFields]
    ) -> closeup_client.WorkingDistanceAnswer:
        """Where the subject stands and how long the whole is, in mm."""
        return self._sum("/v1/working-distance", asked, closeup_client.WorkingDistanceAnswer)

    def effective_f_number(
        self, **asked: Unpack[closeup_client.EffectiveFNumberFields]
    ) -> closeup_client.EffectiveFNumberAnswer:
        """What the marked aperture really is at a magnification."""
        return self._sum("/v1/effective-f-number", asked, closeup_client.EffectiveFNumberAnswer)

    def depth_of_field(self, **asked: Unpack[closeup_client.DepthOfFieldFields]) -> closeup_client.DepthOfFieldAnswer:
        """What is sharp before and behind the subject plane, in mm."""
        return self._sum("/v1/depth-of-field", asked, closeup_client.DepthOfFieldAnswer)

    def diffraction(self, **asked: Unpack[closeup_client.DiffractionFields]) -> closeup_client.DiffractionAnswer:
        """What diffraction costs on the sensor and on the subject, in um and line pairs per mm."""
        return self._sum("/v1/diffraction", asked, closeup_client.DiffractionAnswer)

    def optimum_aperture(
        self, **asked: Unpack[closeup_client.OptimumApertureFields]
    ) -> closeup_client.OptimumApertureAnswer:
        """Which aperture to set for a subject this deep."""
        return self._sum("/v1/optimum-aperture", asked, closeup_client.OptimumApertureAnswer)

    def format_equivalence(
        self, **asked: Unpack[closeup_client.FormatEquivalenceFields]
    ) -> closeup_client.FormatEquivalenceAnswer:
        """Magnification, marked f-number and extension that give the same picture on another sensor."""
        return self._sum("/v1/format-equivalence", asked, closeup_client.FormatEquivalenceAnswer)

    def exposure(self, **asked: Unpack[closeup_client.ExposureFields]) -> closeup_client.ExposureAnswer:
        """The one open setting of a planned frame, from a frame that was right, in the unit that the setting has."""
        return self._sum("/v1/exposure", asked, closeup_client.ExposureAnswer)

    def flash(self, **asked: Unpack[closeup_client.FlashFields]) -> closeup_client.FlashAnswer:
        """The open one of aperture, distance, power and number of flashes, by guide number (m, ISO 100)."""
        return self._sum("/v1/flash", asked, closeup_client.FlashAnswer)

    def clear_opening(self, **asked: Unpack[closeup_client.ClearOpeningFields]) -> closeup_client.ClearOpeningAnswer:
        """How wide an opening before the lens must be where it stands, in mm, and what a given one takes."""
        return self._sum("/v1/clear-opening", asked, closeup_client.ClearOpeningAnswer)

    def motion_blur(self, **asked: Unpack[closeup_client.MotionBlurFields]) -> closeup_client.MotionBlurAnswer:
        """What movement draws while light falls, in um, and what stays within the allowed blur."""
        return self._sum("/v1/motion-blur", asked, closeup_client.MotionBlurAnswer)

    def focus_stack(self, **asked: Unpack[closeup_client.FocusStackFields]) -> closeup_client.FocusStackAnswer:
        """Frames, step and planes of focus of a stack, in mm, on a rail or by the focus ring."""
        return self._sum("/v1/focus-stack", asked, closeup_client.FocusStackAnswer)

    def scale_reading(self, **asked: Unpack[closeup_client.ScaleReadingFields]) -> closeup_client.ScaleReadingAnswer:
        """Magnification that a frame of a ruler shows, and where its uncertainty comes from."""
        return self._sum("/v1/scale-reading", asked, closeup_client.ScaleReadingAnswer)

    def scale_reading_photo(
        self, photo: closeup_client.Photograph, **asked: Unpack[closeup_client.ScalePhotoFields]
    ) -> closeup_client.ScalePhotoAnswer:
        """Scale and magnification from a photograph of a ruler, with the lens's faults; `overlay` is what was found.

        The photograph is a path, an open file or the bytes of a file; OSError where it cannot be read.
        """
        return self._form("/v1/scale-reading/photo", asked, [photo], closeup_client.ScalePhotoAnswer)

    def scale_reading_comparison(
        self, photos: Sequence[closeup_client.Photograph], **asked: Unpack[closeup_client.ScaleComparisonFields]
    ) -> closeup_client.ScaleComparisonAnswer:
        """Which of several photographs of a ruler is sharper, zone by zone; each given as to `scale_reading_photo`."""
        return self._form("/v1/scale-reading/comparison", asked, photos, closeup_client.ScaleComparisonAnswer)

    def scale_bar(self, **asked: Unpack[closeup_client.ScaleBarFields]) -> closeup_client.ScaleBarAnswer:
        """Scale bar of a round length for the finished picture; the bar itself is the member `svg`."""
        return self._sum("/v1/scale-bar", asked, closeup_client.ScaleBarAnswer)

    def scale_bar_image(
        self, media_type: closeup_client.ImageType = SVG, **asked: Unpack[closeup_client.ScaleBarFields]
    ) -> bytes:
        """Return the scale bar alone, as SVG or PNG on a transparent ground."""
        return self._transport.post_for("/v1/scale-bar", asked, media_type)

    def lens_calibration(
        self, **asked: Unpack[closeup_client.LensCalibrationFields]
    ) -> closeup_client.LensCalibrationAnswer:
        """Focal length, planes and pupils of a lens, from frames of a ruler; a zoom setting by setting."""
        return self._sum("/v1/lens-calibration", asked, closeup_client.LensCalibrationAnswer)

    def lens_estimate(self, **asked: Unpack[closeup_client.LensEstimateFields]) -> closeup_client.LensEstimateAnswer:
        """What is known of a lens by its engravings, each datum with its range, and what to measure next, best first."""
        return self._sum("/v1/lens-estimate", asked, closeup_client.LensEstimateAnswer)

    def evaluate(self, **document: Unpack[closeup_client.SetUpFields]) -> closeup_client.SetUpAnswer:
        """Everything about one set-up, from its parts in order, subject first; or solved for a target."""
        return self._sum("/v1/set-ups/evaluate", document, closeup_client.SetUpAnswer)

    def drawing(self, **document: Unpack[closeup_client.DrawingFields]) -> closeup_client.DrawingAnswer:
        """Where every part of a set-up stands along the axis, in mm: the data beside its drawing."""
        return self._sum("/v1/set-ups/drawing", document, closeup_client.DrawingAnswer)

    def drawing_image(self, **document: Unpack[closeup_client.DrawingFields]) -> bytes:
        """Return the set-up in side view, to scale, as SVG."""
        return self._transport.post_for("/v1/set-ups/drawing", document, SVG)

    def frame_drawing(self, **document: Unpack[closeup_client.FrameDrawingFields]) -> closeup_client.FrameDrawingAnswer:
        """How a subject fills the frame, and how much of its depth is sharp: the data beside the drawing."""
        return self._sum("/v1/set-ups/frame-drawing", document, closeup_client.FrameDrawingAnswer)

    def frame_drawing_image(self, **document: Unpack[closeup_client.FrameDrawingFields]) -> bytes:
        """Return the frame on the subject, with the subject in it to scale, as SVG."""
        return self._transport.post_for("/v1/set-ups/frame-drawing", document, SVG)

    def sheet(self, **document: Unpack[closeup_client.SheetFields]) -> closeup_client.SheetAnswer:
        """Everything that stands on the printable sheet of a set-up."""
        return self._sum("/v1/set-ups/sheet", document, closeup_client.SheetAnswer)

    def sheet_page(self, **document: Unpack[closeup_client.SheetFields]) -> bytes:
        """Return the sheet as an HTML page that prints on one side of A4."""
        return self._transport.post_for("/v1/set-ups/sheet", document, HTML)

    def table(self, **document: Unpack[closeup_client.TableFields]) -> closeup_client.TableAnswer:
        """One set-up for many values of its members at once, however many rows: long tables are asked block by block.

        Raises ValueError where the columns are not all as long as each other.
        """
        answers = [self._transport.post("/v1/set-ups/table", block) for block in blocks_of(document)]
        return read(closeup_client.TableAnswer, joined(answers))

    def aperture_chart(self, **asked: Unpack[closeup_client.ApertureChartFields]) -> closeup_client.ApertureChartAnswer:
        """Contrast, depth and resolution at every mark of a set-up's aperture ring."""
        return self._sum("/v1/charts/aperture", asked, closeup_client.ApertureChartAnswer)

    def aperture_chart_image(self, **asked: Unpack[closeup_client.ApertureChartFields]) -> bytes:
        """Return the same as a chart, as SVG."""
        return self._transport.post_for("/v1/charts/aperture", asked, SVG)

    def magnification_chart(
        self, **asked: Unpack[closeup_client.MagnificationChartFields]
    ) -> closeup_client.MagnificationChartAnswer:
        """Magnification and working distance against a length of a set-up."""
        return self._sum("/v1/charts/magnification", asked, closeup_client.MagnificationChartAnswer)

    def magnification_chart_image(self, **asked: Unpack[closeup_client.MagnificationChartFields]) -> bytes:
        """Return the same as a chart, as SVG."""
        return self._transport.post_for("/v1/charts/magnification", asked, SVG)

    def stack_chart(self, **asked: Unpack[closeup_client.StackChartFields]) -> closeup_client.StackChartAnswer:
        """Every frame of a focus stack, with what is sharp in it."""
        return self._sum("/v1/charts/stack", asked, closeup_client.StackChartAnswer)

    def stack_chart_image(self, **asked: Unpack[closeup_client.StackChartFields]) -> bytes:
        """Return the same as a chart, as SVG."""
        return self._transport.post_for("/v1/charts/stack", asked, SVG)

    def calibration_chart(
        self, **asked: Unpack[closeup_client.CalibrationChartFields]
    ) -> closeup_client.CalibrationChartAnswer:
        """Every frame of a ruler against the lens fitted to it."""
        return self._sum("/v1/charts/calibration", asked, closeup_client.CalibrationChartAnswer)

    def calibration_chart_image(self, **asked: Unpack[closeup_client.CalibrationChartFields]) -> bytes:
        """Return the same as a chart, as SVG."""
        return self._transport.post_for("/v1/charts/calibration", asked, SVG)

    def ring_chains(self, **asked: Unpack[closeup_client.RingChainsFields]) -> closeup_client.RingChainsAnswer:
        """Which rings join one thread or mount to another, how long each chain is, and what must be bought."""
        return self._sum("/v1/ring-chains", asked, closeup_client.RingChainsAnswer)

    def kit(self, **asked: Unpack[closeup_client.KitFields]) -> closeup_client.KitAnswer:
        """The studio's kit as the service read it; or `kit`, checked."""
        return self._sum("/v1/kit", asked, closeup_client.KitAnswer)

    def search(self, **asked: Unpack[closeup_client.SearchFields]) -> closeup_client.SearchAnswer:
        """Which set-ups of a kit fill the frame with a subject, best first."""
        return self._sum("/v1/set-ups/search", asked, closeup_client.SearchAnswer)

    def sensors(self) -> tuple[closeup_client.SensorRecord, ...]:
        """Sensor and film formats, by their measures."""
        return self._listing("/v1/catalogue/sensors", closeup_client.SensorRecord)

    def mounts(self) -> tuple[closeup_client.MountRecord, ...]:
        """Lens mounts and their registers."""
        return self._listing("/v1/catalogue/mounts", closeup_client.MountRecord)

    def threads(self) -> tuple[closeup_client.ThreadRecord, ...]:
        """Threads of filters, mounts and objectives."""
        return self._listing("/v1/catalogue/threads", closeup_client.ThreadRecord)

    def lens_classes(self) -> tuple[closeup_client.LensClassRecord, ...]:
        """Classes of lenses whose unknown data can be estimated, with the origin of their statistics."""
        return self._listing("/v1/catalogue/lens-classes", closeup_client.LensClassRecord)

    def cautions(self) -> tuple[closeup_client.CautionRecord, ...]:
        """Every usual caution of close-up work, people first; answers carry those that apply to them."""
        return self._listing("/v1/cautions", closeup_client.CautionRecord)

    def is_alive(self) -> bool:
        """Whether the service answers at all."""
        return self._transport.is_alive()

    def close(self) -> None:
        """Close the connections; a session of your own is left open."""
        self._transport.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def __repr__(self) -> str:
        return f"<{type(self).__name__} of {self._transport.base_url}>"

    def _sum(self, path: str, members: Mapping[str, Any], kind: type[A]) -> A:
        return read(kind, self._transport.post(path, members))

    def _form(
        self, path: str, members: Mapping[str, Any], photos: Sequence[closeup_client.Photograph], kind: type[A]
    ) -> A:
        files = [("photo", content_of_photograph(photo)) for photo in photos]
        return read(kind, self._transport.post_form(path, members, files))

    def _listing(self, path: str, kind: type[A]) -> tuple[A, ...]:
        return read_records(kind, self._transport.get(path))


add_signatures(Client)

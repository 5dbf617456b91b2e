"""What is asked: the enquiry, what was assumed for it, and what is still to be asked."""

from traywright.enquiry.asked_part import AddedAt, AskedPart, Contact, FaceAt, PoseAsked, State, Where
from traywright.enquiry.depth_book import DepthBook, depth_book_toml, read_depth_book
from traywright.enquiry.dimensions import (
    ArcTo,
    Block,
    Boss,
    BossSize,
    Dimensions,
    Disc,
    DrilledHole,
    Level,
    OutlineShape,
    Plate,
    Tube,
    Turned,
    TurnedStep,
)
from traywright.enquiry.drawing_terms import (
    DepthTerm,
    DrawingTerms,
    DrawnEnquiry,
    DrawnHead,
    DrawnOffer,
    DrawnRead,
    DrawnShop,
)
from traywright.enquiry.drawn_toml import drawn_enquiry_toml
from traywright.enquiry.enquiry import Assumption, Enquiry, EnquiryRead, Question
from traywright.enquiry.loop import Lift, Loop, LoopStep
from traywright.enquiry.read_drawn import drawn_to_plain, is_drawn, read_drawn_enquiry
from traywright.enquiry.read_enquiry import FORMAT, read_enquiry, to_plain
from traywright.enquiry.schema import enquiry_schema
from traywright.enquiry.terms import Damage, FoamWishes, JobHead, OfferTerms, Override, PackTerms, ShopChoice
from traywright.enquiry.unread import unread_terms

__all__ = [
    "FORMAT",
    "AddedAt",
    "ArcTo",
    "AskedPart",
    "Assumption",
    "Block",
    "Boss",
    "BossSize",
    "Contact",
    "Damage",
    "DepthBook",
    "DepthTerm",
    "Dimensions",
    "Disc",
    "DrawingTerms",
    "DrawnEnquiry",
    "DrawnHead",
    "DrawnOffer",
    "DrawnRead",
    "DrawnShop",
    "DrilledHole",
    "Enquiry",
    "EnquiryRead",
    "FaceAt",
    "FoamWishes",
    "JobHead",
    "Level",
    "Lift",
    "Loop",
    "LoopStep",
    "OfferTerms",
    "OutlineShape",
    "Override",
    "PackTerms",
    "Plate",
    "PoseAsked",
    "Question",
    "ShopChoice",
    "State",
    "Tube",
    "Turned",
    "TurnedStep",
    "Where",
    "depth_book_toml",
    "drawn_enquiry_toml",
    "drawn_to_plain",
    "enquiry_schema",
    "is_drawn",
    "read_depth_book",
    "read_drawn_enquiry",
    "read_enquiry",
    "to_plain",
    "unread_terms",
]
